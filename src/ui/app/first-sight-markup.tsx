import { renderToStaticMarkup } from 'react-dom/server';
import { firstLine, overOne } from '../library/first-phrase';
import { FirstMusic, FirstWords } from '../library/first-words';
import { LibraryHead } from '../library/library-head';
import { engrave } from '../score/drawing';
import { FrameHead } from './frame-head';

const LINE = '<div class="system"></div>';
const nothing = () => {};

/**
 * The library page as a first visit finds it, in HTML, for the page to show before the program has come:
 * the same parts that the program shows then. Its buttons wait for the program, its links do not.
 * Called when the app is built.
 */
export function firstSightMarkup(): string {
  const phrase = overOne();
  if (phrase === null) throw new Error('the phrase of the first visit cannot be read');
  const page = renderToStaticMarkup(
    <>
      <FrameHead atLibrary={true} openList={nothing} />
      <main>
        <section className="page library">
          <LibraryHead begin={nothing} bringIn={nothing}>
            Opening the library …
          </LibraryHead>
          <FirstWords putAway={nothing}>
            <FirstMusic over="I" move={nothing}>
              <div className="system system-at">
                <div className="system" />
              </div>
            </FirstMusic>
          </FirstWords>
        </section>
      </main>
    </>,
  );
  if (page.split(LINE).length !== 2) throw new Error('there is no place for the line of music');
  return page
    .replace(
      LINE,
      LINE.replace('></', () => `>${firstLine(engrave, phrase)}</`),
    )
    .replaceAll('<button type', '<button disabled type');
}
