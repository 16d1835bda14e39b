import { refusalInWords } from '../shared/save-words';
import type { RecordEdits } from './record-edits';

/**
 * Whether what was changed is on the disk.
 * @param noun What people call it: `lesson`.
 * @param addressOf The page of another version.
 */
export function RecordSaving<T>(props: {
  readonly edits: Pick<RecordEdits<T>, 'status' | 'retry'>;
  readonly noun: string;
  readonly addressOf: (value: T) => string;
  readonly titleOf: (value: T) => string;
}) {
  const { edits, noun, addressOf, titleOf } = props;
  const { status, retry } = edits;
  if (status.kind === 'unsaved' || status.kind === 'saving') return <p role="status">Saving …</p>;
  if (status.kind === 'kept both') {
    const mine = status.mine.value;
    return (
      <p role="alert" className="problem">
        The {noun} was changed in another window too. Both are kept: yours is{' '}
        <a href={addressOf(mine)}>{titleOf(mine)}</a>.
      </p>
    );
  }
  if (status.kind !== 'refused') return <p role="status">Saved.</p>;
  const { refusal } = status;
  const lines =
    refusal.kind === 'quota' ||
    refusal.kind === 'not ready' ||
    refusal.kind === 'invalid' ||
    refusal.kind === 'failed'
      ? refusalInWords(refusal)
      : ['Another window has changed what is kept.'];
  return (
    <div role="alert" className="problem">
      <p>What you changed is only in this window. {lines.join(' ')}</p>
      <button type="button" onClick={retry}>
        Try again
      </button>
    </div>
  );
}
