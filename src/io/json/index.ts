export {
  type Decoded,
  decodeAny,
  decodeLibrary,
  decodePhrase,
} from './decode';
export { encodeLibrary, encodePhrase } from './encode';
