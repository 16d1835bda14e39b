import { useId, useMemo, useState } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import { encodeLink } from '../../../io/link/phrase-link';
import { titleOf } from '../../shared/facts';
import { useModal } from '../../shared/use-modal';
import { addressOf } from '../route';
import { drawnCode, MOST_IN_CODE } from './drawn-code';
import { isOfThisMachine } from './this-machine';
import './give.css';

interface Props {
  readonly phrase: Phrase;
  readonly onClose: () => void;
}

/** A phrase as a link that carries all of it, and as a code for a phone. */
export function GiveDialog({ phrase, onClose }: Props) {
  const { end, props } = useModal(onClose);
  const id = useId();
  const link = useMemo(() => linkTo(phrase), [phrase]);
  const [copied, setCopied] = useState<boolean | null>(null);
  const copy = () => {
    const clipboard: Clipboard | undefined = navigator.clipboard;
    if (clipboard === undefined) {
      setCopied(false);
      return;
    }
    clipboard.writeText(link).then(
      () => setCopied(true),
      () => setCopied(false),
    );
  };
  return (
    <dialog {...props} className="give" aria-labelledby={`${id}-title`}>
      <h2 id={`${id}-title`}>Give “{titleOf(phrase)}” away</h2>
      <p>
        The link carries the whole phrase inside itself. Nothing is sent anywhere: whoever opens it
        sees the phrase, and keeps it if they like. What is changed here later is not in it.
      </p>
      {isOfThisMachine(window.location.hostname) && (
        <p className="problem">
          Degreewise runs on this machine alone just now ({window.location.host}), so the link opens
          only here. For somebody else, export the phrase as a file, or serve the program at an
          address that they can reach.
        </p>
      )}
      <label className="give-link">
        <span>Link, {link.length} characters</span>
        <textarea rows={3} readOnly value={link} onFocus={(e) => e.target.select()} />
      </label>
      <p className="buttons">
        <button type="button" className="primary" onClick={copy}>
          Copy the link
        </button>
        <button type="button" onClick={end}>
          Close
        </button>
      </p>
      <p role="status">
        {copied === true && 'Copied.'}
        {copied === false &&
          'The browser does not let it be copied: select the link and copy it by hand.'}
      </p>
      {link.length > MOST_IN_CODE ? (
        <p className="problem">
          The phrase is too long for a code that a phone can read. Send the link, or export the
          phrase as a file.
        </p>
      ) : (
        <Code text={link} title={titleOf(phrase)} />
      )}
    </dialog>
  );
}

function linkTo(phrase: Phrase): string {
  const [page] = window.location.href.split('#');
  return `${page}${addressOf({ page: 'given', data: encodeLink(phrase), query: {} })}`;
}

/** The code, dark on light in every theme: phones expect it so. */
function Code({ text, title }: { readonly text: string; readonly title: string }) {
  const { size, path } = useMemo(() => drawnCode(text), [text]);
  return (
    <figure className="give-code">
      <svg viewBox={`0 0 ${size} ${size}`} role="img" aria-label={`QR code of ${title}`}>
        <rect width={size} height={size} fill="#fff" />
        <path d={path} fill="#000" shapeRendering="crispEdges" />
      </svg>
      <figcaption className="quiet">
        Point a phone’s camera at it. A phone that cannot reach this page’s address opens nothing:
        send it a file instead.
      </figcaption>
    </figure>
  );
}
