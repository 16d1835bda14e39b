/** Something that MusicXML 4.0 has and 3.0 has not, and how a copy is made without it. */
export interface LaterItem {
  readonly name: string;
  /** Source: the change lists of MusicXML 3.1 and 4.0, W3C Community Group Final Reports. */
  readonly since: '3.1' | '4.0';
  readonly remove: (xml: string) => string;
}

/** Everything our files use that is later than 3.0; nothing else may be taken out of a copy. */
export const LATER_THAN_30: readonly LaterItem[] = [
  {
    name: 'id of a note',
    since: '3.1',
    remove: (xml) => xml.replace(/(<note\b[^>]*?) id="[^"]*"/gu, '$1'),
  },
  {
    name: 'tie that lets ring',
    since: '3.1',
    remove: (xml) => xml.replace(/ *<tied type="let-ring"\/>\n/gu, ''),
  },
  {
    name: 'glyph of a wavy line',
    since: '4.0',
    remove: (xml) => xml.replace(/(<wavy-line\b[^>]*?) smufl="[^"]*"/gu, '$1'),
  },
  {
    name: 'offset of a release',
    since: '4.0',
    remove: (xml) => xml.replace(/(<release\b[^>]*?) offset="[^"]*"/gu, '$1'),
  },
  {
    name: 'swing',
    since: '4.0',
    remove: (xml) => xml.replace(/ *<swing>[\s\S]*?<\/swing>\n/gu, ''),
  },
];

/** A copy that says only what MusicXML 3.0 can say, `except` one item. */
export function reduceTo30(xml: string, except?: LaterItem): string {
  return LATER_THAN_30.reduce((text, item) => (item === except ? text : item.remove(text)), xml);
}
