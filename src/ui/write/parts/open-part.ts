/** Folded parts of the page that the list of everything opens too. */
export const PART_IDS = { bend: 'part-bend', text: 'part-text', midi: 'part-midi' } as const;

/** Milliseconds in which what a part holds is waited for. */
const COMES = 3_000;

/**
 * Unfolds a part and puts the focus into its first field. What it holds may have to be fetched: until
 * then the focus is on its title, and it stays where somebody has put it in between.
 */
export function openPart(part: keyof typeof PART_IDS): void {
  const details = document.getElementById(PART_IDS[part]);
  const title = details?.querySelector('summary') ?? null;
  if (!(details instanceof HTMLDetailsElement) || title === null) return;
  details.open = true;
  title.focus();
  const enter = () => {
    const field = details.querySelector<HTMLElement>('textarea, input, button:enabled');
    if (field === null) return;
    watching.disconnect();
    if (document.activeElement === title) field.focus();
  };
  const watching = new MutationObserver(enter);
  watching.observe(details, { childList: true, subtree: true });
  setTimeout(() => watching.disconnect(), COMES);
  enter();
}
