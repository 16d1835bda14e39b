import { type FileFormat, formatOfName } from '../io/file/formats';
import type { Format } from './format';

/** Formats that nothing reads back. */
const ONLY_OUT = ['svg', 'png', 'wav'] as const;

/** The formats in which phrases are written; each is the ending of its files. */
export type PublishFormat = FileFormat | (typeof ONLY_OUT)[number];

/**
 * The one table of what leaves the house, in the order in which it is offered. The app's exports and
 * the command line read it; a new format is a folder with its writer and a row.
 */
export const FORMATS = {
  json: {
    name: 'Degreewise',
    purpose: 'everything, for this program',
    loses: null,
    type: 'application/json',
    asks: [],
    degrees: false,
    several: 'library',
    made: 'anywhere',
    writer: async () => (await import('./json/write')).write,
  },
  musicxml: {
    name: 'MusicXML',
    purpose: 'for notation programs',
    loses: 'Other programs do not show what is pinned or which degrees were chosen by hand.',
    type: 'application/vnd.recordare.musicxml+xml',
    asks: ['staves', 'degrees', 'beneath'],
    degrees: false,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./musicxml/write')).write,
  },
  mxl: {
    name: 'MusicXML, packed',
    purpose: 'the same, smaller',
    loses: 'Other programs do not show what is pinned or which degrees were chosen by hand.',
    type: 'application/vnd.recordare.musicxml',
    asks: ['staves', 'degrees', 'beneath'],
    degrees: false,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./musicxml/write')).writePacked,
  },
  txt: {
    name: 'Text tab',
    purpose: 'for a mail or a message',
    loses:
      'The course of bends is not in it, and of two voices the lengths are guessed when it is read again.',
    type: 'text/plain;charset=utf-8',
    asks: ['degrees'],
    degrees: true,
    several: 'text',
    made: 'anywhere',
    writer: async () => (await import('./text-tab/write')).write,
  },
  quick: {
    name: 'Quick text',
    purpose: 'a phrase in one line, to be typed or sent',
    loses: 'Tags, level, origin and notes for students are not in it.',
    type: 'text/plain;charset=utf-8',
    asks: [],
    degrees: false,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./quick/write')).write,
    left: async () => (await import('./quick/write')).left,
  },
  svg: {
    name: 'Drawing',
    purpose: 'sharp at any size',
    loses: 'It can be looked at and printed, and not be read again.',
    type: 'image/svg+xml',
    asks: ['staves', 'degrees', 'legend', 'beneath'],
    degrees: true,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./svg/write')).write,
  },
  png: {
    name: 'Picture',
    purpose: 'for anywhere',
    loses: 'It can be looked at and printed, and not be read again.',
    type: 'image/png',
    asks: ['staves', 'degrees', 'legend', 'beneath'],
    degrees: true,
    several: 'archive',
    made: 'in a browser',
    writer: async () => (await import('./png/write')).write,
  },
  mid: {
    name: 'MIDI',
    purpose: 'for sequencers and synthesizers, a channel a string',
    loses: 'Frets, fingers and the names of techniques are not in it; bends and slides are.',
    type: 'audio/midi',
    asks: ['speed', 'swing', 'tone', 'backing', 'seed', 'comping', 'beneath', 'rounds'],
    degrees: false,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./midi/write')).write,
  },
  wav: {
    name: 'Sound',
    purpose: 'to be heard anywhere',
    loses: 'It can be listened to, and not be read again.',
    type: 'audio/wav',
    asks: ['speed', 'swing', 'tone', 'backing', 'seed', 'comping', 'beneath', 'rounds', 'bits'],
    degrees: false,
    several: 'archive',
    made: 'anywhere',
    writer: async () => (await import('./wav/write')).write,
  },
} satisfies Record<PublishFormat, Format>;

/** All formats, in the order of the table. */
export const PUBLISH_FORMATS = Object.keys(FORMATS) as readonly PublishFormat[];

/** The row of a format. */
export function formatRow(format: PublishFormat): Format {
  return FORMATS[format];
}

/** The format that the ending of a name says; null for another ending or none. */
export function publishFormatOf(name: string): PublishFormat | null {
  const ending = /\.([a-z]+)$/iu.exec(name)?.[1]?.toLowerCase();
  return formatOfName(name) ?? ONLY_OUT.find((f) => f === ending) ?? null;
}
