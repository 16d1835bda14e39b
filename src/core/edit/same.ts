/** Where the edits have always found it. */
export { sameData } from '../phrase/same';
