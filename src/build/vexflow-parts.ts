/* Which parts of VexFlow are named in what is left of it and still not needed, and why. */

/** Members that are named somewhere but never called; called all the same, each of them throws. */
export const LEFT_OUT: ReadonlySet<string> = new Set([
  // `vex/setup.ts` puts others in their place.
  ...members('Element', 'measureText getTextMeasurementCanvas'),
  ...members('Metrics', 'getFontInfo getStyle'),
  // The classes in `src/engrave/vex` have their own.
  ...members('StaveNote', 'getBoundingBox getStemX hasStem shouldDrawFlag drawNoteHeads'),
  ...members('StaveNote', 'getStemExtension calcNoteDisplacements drawModifiers'),
  ...members('StaveNote', 'getModifierStartXY'),
  ...members('StemmableNote', 'getStemX getStemExtension drawStem'),
  ...members('Note', 'getModifierStartXY getAbsoluteX getBoundingBox hasStem'),
  ...members('Beam', 'calculateSlope getBeamLines'),
  ...members('KeySignature', 'calculateDimensions getBoundingBox'),
  ...members('Stave', 'format getBoundingBox getBottomY'),
  ...members('Element', 'getBoundingBox'),
  ...members('BoundingBox', 'mergeWith'),
  ...members('Dot', 'setNote'),
  // Stems go where they are told to, beams lean as they are told to, heads and rests hold nothing.
  ...members('StaveNote', 'autoStem calculateOptimalStemDirection preFormat setBeam'),
  ...members('Stem', 'setVisibility setStemlet'),
  ...members('Beam', 'calculateFlatSlope lookupBeamDirection'),
  ...members('Note', 'addModifier'),
  ...members('Tickable', 'addModifier getModifiers setDuration setCenterAlignment'),
  // Bar lines are ours, keys are not cancelled, nothing stands over a staff, there are no styles.
  ...members('Barline', 'draw drawVerticalBar drawVerticalEndBar drawRepeatBar typeString'),
  ...members('KeySignature', 'convertToCancelAccList convertToAlterAccList'),
  ...members('StaveNote', 'getYForTopText setStyle'),
  ...members('StemmableNote', 'getYForTopText'),
  ...members('Note', 'getYForTopText'),
  ...members('Stave', 'getYForTopText'),
  ...members('Element', 'setGroupStyle font fontSize fontStyle fontWeight setFontSize'),
  ...members('Font', 'validate fromCSSString toCSSString'),
  ...members('Modifier', 'PositionString'),
  // There is no registry of elements.
  ...members('Registry', 'register setIndexValue updateIndex getElementById onUpdate'),
]);

function members(cls: string, names: string): readonly string[] {
  return names.split(' ').map((name) => `${cls}.${name}`);
}

/** What is kept of tables and of one long choice; a value that is not there is refused by VexFlow. */
export const ENTRIES: Readonly<Record<string, ReadonlySet<string>>> = {
  notesInfo: words('C D E F G A B'),
  validNoteTypes: words('n r'),
  accidentals: words('# ## b bb n'),
  clefs: words('treble bass'),
  keySignatures: words('Cb Gb Db Ab Eb Bb F C G D A E B F# C#'),
  'Clef.types': words('treble bass'),
  'Tables.codeNoteHead': words('D0 D1 D2 X0 X1 X2 R'),
  'KeySignature.convertAccLines': words('bass french'),
  'TimeSignature.getTimeSigCode': words(''),
  'Element.constructor': words('id type class width'),
  'Tickable.constructor': words(''),
  'Beam.constructor': words('beamWidth showStemlets stemletExtension flatBeams'),
  MetricsDefaults: words(
    'fontFamily fontSize fontScale fontWeight fontStyle Accidental Stave Stem',
  ),
};

function words(list: string): ReadonlySet<string> {
  return new Set(list.split(' '));
}
