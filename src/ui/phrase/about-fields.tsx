import { useId } from 'react';
import type { Meta, Phrase } from '../../core/phrase/types';
import { useApp } from '../frame/app-context';
import type { Draft } from '../frame/draft';
import { editPhrase, type Part } from '../frame/edit-phrase';
import { plainLine, plainLines } from '../shared/plain-text';
import { TagsField } from '../shared/tags-field';
import { levelName } from '../shared/words';

const LEVELS = [1, 2, 3, 4, 5] as const;

/** What is said about a phrase; every change is saved as it is made. */
export function AboutFields({ draft }: { readonly draft: Draft }) {
  const app = useApp();
  const { phrase } = draft;
  const { meta } = phrase;
  const set = (change: Partial<Meta>, part: Part) =>
    editPhrase(app, draft, withMeta(phrase, change), part);
  return (
    <div className="about-fields">
      <TextField
        label="Title"
        value={meta.title}
        most={500}
        onChange={(title) => set({ title: plainLine(title) }, 'title')}
      />
      <TextField
        label="In the style of"
        value={meta.styleOf ?? ''}
        most={1_000}
        onChange={(text) =>
          editPhrase(app, draft, withText(phrase, 'styleOf', plainLine(text)), 'style')
        }
      />
      <TagsField key={phrase.id} tags={meta.tags} onChange={(tags) => set({ tags }, 'tags')} />
      <LevelField
        level={meta.level}
        onChange={(level) => editPhrase(app, draft, withLevel(phrase, level), 'level')}
      />
      <NotesField
        value={meta.notes ?? ''}
        onChange={(text) =>
          editPhrase(app, draft, withText(phrase, 'notes', plainLines(text)), 'notes')
        }
      />
    </div>
  );
}

function withMeta(p: Phrase, change: Partial<Meta>): Phrase {
  return { ...p, meta: { ...p.meta, ...change } };
}

/** An empty text is a field that is not there. */
function withText(p: Phrase, field: 'styleOf' | 'notes', text: string): Phrase {
  const { [field]: _, ...rest } = p.meta;
  return { ...p, meta: text === '' ? rest : { ...rest, [field]: text } };
}

function withLevel(p: Phrase, level: Meta['level']): Phrase {
  const { level: _, ...rest } = p.meta;
  return { ...p, meta: level === undefined ? rest : { ...rest, level } };
}

function TextField(props: {
  readonly label: string;
  readonly value: string;
  readonly most: number;
  readonly onChange: (text: string) => void;
}) {
  const id = useId();
  return (
    <p className="field">
      <label htmlFor={id}>{props.label}</label>
      <input
        id={id}
        type="text"
        value={props.value}
        maxLength={props.most}
        autoComplete="off"
        onChange={(e) => props.onChange(e.target.value)}
      />
    </p>
  );
}

function NotesField(props: { readonly value: string; readonly onChange: (text: string) => void }) {
  const id = useId();
  const lines = props.value.split('\n').length;
  return (
    <p className="field wide">
      <label htmlFor={id}>Notes for students</label>
      <textarea
        id={id}
        value={props.value}
        rows={Math.min(16, Math.max(4, lines + 2))}
        maxLength={20_000}
        onChange={(e) => props.onChange(e.target.value)}
      />
    </p>
  );
}

function LevelField(props: {
  readonly level: Meta['level'];
  readonly onChange: (level: Meta['level']) => void;
}) {
  const id = useId();
  return (
    <p className="field">
      <label htmlFor={id}>Level</label>
      <select
        id={id}
        value={props.level ?? ''}
        onChange={(e) => props.onChange(LEVELS.find((l) => String(l) === e.target.value))}
      >
        <option value="">not said</option>
        {LEVELS.map((l) => (
          <option key={l} value={l}>
            {levelName(l)}
          </option>
        ))}
      </select>
    </p>
  );
}
