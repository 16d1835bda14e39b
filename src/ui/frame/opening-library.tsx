import { useLibrary } from './app-context';

/** While the library opens: where all of it has to be looked through first, how far that has come. */
export function OpeningLibrary() {
  const { progress } = useLibrary();
  return (
    <>
      <p role="status">Opening the library …</p>
      {progress !== null && (
        <p className="quiet">
          Once after a change of the program all of it is looked through; nothing is changed.{' '}
          {progress.done} of {progress.total}{' '}
          <progress max={progress.total} value={progress.done} aria-label="Looked through" />
        </p>
      )}
    </>
  );
}

/** The same as a page of its own. */
export function OpeningPage() {
  return (
    <section className="page">
      <OpeningLibrary />
    </section>
  );
}
