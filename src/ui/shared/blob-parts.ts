import type { Pieces } from '../../publish/publish';

/**
 * Characters that become a blob, about. Each blob is a question to another process: of a file of 58 MB (Chromium 156)
 * those of 64 k took 1.4 s together, of 256 k half of that and 2 ms each, of 1 M no less and 11 ms each.
 */
const SIZE = 256 * 1024;
/** So many become one, since the file is made of all of them at once: 900 took 90 ms, 60 take 10. */
const TOGETHER = 16;

/** The pieces of a file as blobs, which are not in the memory of the page. */
export function blobParts(): Pieces<Blob> {
  let texts: string[] = [];
  let size = 0;
  let small: Blob[] = [];
  const large: Blob[] = [];
  const putAway = () => {
    if (texts.length > 0) small.push(new Blob(texts));
    texts = [];
    size = 0;
  };
  return {
    add(piece) {
      texts.push(piece);
      size += piece.length;
      if (size >= SIZE) putAway();
      if (small.length < TOGETHER) return;
      large.push(new Blob(small));
      small = [];
    },
    all() {
      putAway();
      return [...large, ...small];
    },
  };
}
