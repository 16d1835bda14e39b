/*
 * Shows what stands in the page for somebody who is here for the first time, while the program is on its
 * way: a script of its own, since it is there long before that, and one that imports nothing, since what
 * it shared with the program would come with the program. Whoever has been here waits for the library.
 */

/** Whether the app has been open at this address before: whatever it keeps here says so. */
function wasHere(): boolean {
  try {
    return Object.keys(localStorage).some((key) => key.startsWith('degreewise'));
  } catch {
    // No storage for this address: every visit is the first.
    return false;
  }
}

const place = document.getElementById('first-sight');
const atLibrary = /^#?\/?$/u.test(window.location.hash);
if (place !== null && atLibrary && !wasHere()) place.hidden = false;
