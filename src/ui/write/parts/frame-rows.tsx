import { useCallback, useState } from 'react';
import { FRAME, type FrameSubject } from '../frame';
import { FrameDialog } from '../frame-dialog';
import type { PartProps } from '../part-props';

/** What holds for the whole phrase or from a bar on, each with a way to change it. */
export function FrameRows({ writer, onDone }: Pick<PartProps, 'writer' | 'onDone'>) {
  const [asked, setAsked] = useState<FrameSubject | null>(null);
  const end = useCallback(() => {
    setAsked(null);
    onDone();
  }, [onDone]);
  return (
    <div className="frame-rows">
      <p className="quiet">
        What follows from a change is shown before it is done. A metre holds from the bar of the
        cursor on.
      </p>
      <dl>
        {FRAME.map((subject) => (
          <div key={subject.name}>
            <dt>{subject.name}</dt>
            <dd>
              <button type="button" className="plain" onClick={() => setAsked(subject)}>
                <span className="unseen">Change {subject.name.toLowerCase()}, now </span>
                {subject.now(writer.state)}
              </button>
            </dd>
          </div>
        ))}
      </dl>
      {asked === null ? null : <FrameDialog subject={asked} writer={writer} onEnd={end} />}
    </div>
  );
}
