/** The place in the page where the first sight stands; the script that shows it knows it by this name too. */
const PLACE = 'first-sight';

/**
 * The line of music that stood in the page before the program came (SVG text); null where nobody was
 * shown one. Read as this module is loaded: what the program draws takes its place.
 */
export const firstSight: string | null = standing();

function standing(): string | null {
  const place = document.getElementById(PLACE);
  if (place === null || place.hidden) return null;
  return place.querySelector('svg')?.outerHTML ?? null;
}
