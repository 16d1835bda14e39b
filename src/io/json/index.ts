export { decodePhrase } from './decode';
export { encodeLibrary, encodePhrase } from './encode';
