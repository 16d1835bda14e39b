import type { ToPaint } from '../../../publish/format';

/** Dots to a px of the page: about 200 to the inch on paper. */
const SHARPNESS = 2;
/** Browsers refuse larger canvases. */
const MOST_SIDE = 16_384;
const MOST_AREA = 120_000_000;

/** A drawing as PNG bytes; a very long one becomes smaller rather than cut. */
export async function paint(drawing: ToPaint): Promise<Uint8Array<ArrayBuffer>> {
  const { svg, width, height, probe } = drawing;
  const scale = Math.min(
    SHARPNESS,
    MOST_SIDE / height,
    MOST_SIDE / width,
    Math.sqrt(MOST_AREA / (width * height)),
  );
  const url = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    await fontsPainted(image, height, probe);
    const { canvas, context } = canvasOf(width * scale, height * scale);
    context.drawImage(image, 0, 0, width, height, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
    if (blob === null) throw new Error('the browser could not make the picture');
    return new Uint8Array(await blob.arrayBuffer());
  } finally {
    URL.revokeObjectURL(url);
  }
}

function canvasOf(width: number, height: number) {
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(width);
  canvas.height = Math.round(height);
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (context === null) throw new Error('the browser has no room for the picture');
  return { canvas, context };
}

/** Milliseconds between two looks, and after which a font will not come any more. */
const LOOK = 20;
const MOST_WAIT = 3_000;

/**
 * Waits until the fonts inside a picture are in use: a browser calls it decoded before that, and
 * tells nobody when it is.
 */
async function fontsPainted(
  image: HTMLImageElement,
  below: number,
  { squares, side }: ToPaint['probe'],
): Promise<void> {
  const { canvas, context } = canvasOf(squares * side, side);
  const all = Array.from({ length: squares }, (_, i) => i);
  for (let waited = 0; waited < MOST_WAIT; waited += LOOK) {
    context.clearRect(0, 0, canvas.width, canvas.height);
    context.drawImage(image, 0, below, canvas.width, side, 0, 0, canvas.width, side);
    if (all.every((i) => isInked(context.getImageData(i * side, 0, side, side).data))) return;
    await new Promise((resolve) => setTimeout(resolve, LOOK));
  }
  throw new Error('the fonts of the picture did not load');
}

function isInked(pixels: Uint8ClampedArray): boolean {
  for (let i = 0; i < pixels.length; i += 4) if (pixels[i]! < 128) return true;
  return false;
}
