/** The rooms of the core, each of which may import itself and those before it. */
const CORE = [
  'theory',
  'phrase',
  'technique',
  'validity',
  'understand',
  'neck',
  'shapes',
  'move',
  'form',
  'joins',
  'vary',
  'ease',
  'sound',
  'backing',
  'practice',
  'heard',
  'library',
  'search',
  'solo',
  'lesson',
  'plan',
  'edit',
];

/** A rule a room: nothing of the core that comes after it. `core/result` is beneath them all. */
const orderInCore = CORE.slice(0, -1).map((room, i) => ({
  name: `core-${room}-imports-earlier-rooms`,
  severity: 'error',
  from: { path: `src/core/${room}/` },
  to: { path: `src/core/(${CORE.slice(i + 1).join('|')})/` },
}));

/** Import rules: core <- io, engrave <- publish, storage <- cli, ui. `tests/rules` shows that each is enforced. */
module.exports = {
  forbidden: [
    ...orderInCore,
    {
      name: 'core-edit-imports-no-library',
      comment: 'The library and its search stand beside the room that edits.',
      severity: 'error',
      from: { path: 'src/core/edit/' },
      to: { path: 'src/core/(library|search)/' },
    },
    {
      name: 'core-rooms-are-named',
      comment: 'A new room of the core takes its place in the order above.',
      severity: 'error',
      from: { path: 'src/core/[^/]+/', pathNot: `src/core/(${CORE.join('|')})/` },
      to: {},
    },
    {
      name: 'core-result-is-beneath',
      comment: 'What every room of the core uses imports none of them.',
      severity: 'error',
      from: { path: 'src/core/[^/]+[.]ts$' },
      to: { path: 'src/core/' },
    },
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'no-unresolved',
      comment: 'What the build makes, and a worklet, which is bundled by itself, are no files.',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: ['^virtual:', '[?]worker&url$'] },
    },
    {
      name: 'core-imports-core-only',
      comment: 'The core is pure: no io, no page, no packages but immer.',
      severity: 'error',
      from: { path: 'src/core/' },
      to: { pathNot: ['src/core/', 'node_modules/immer/'] },
    },
    {
      name: 'io-imports-core-only',
      severity: 'error',
      from: { path: 'src/io/' },
      to: {
        pathNot: [
          'src/core/',
          'src/io/',
          'node_modules/(immer|zod|saxes|xmlchars|fflate|midi-file)/',
        ],
      },
    },
    {
      name: 'engrave-imports-core-only',
      severity: 'error',
      from: { path: 'src/engrave/' },
      to: { pathNot: ['src/core/', 'src/engrave/', 'node_modules/vexflow/'] },
    },
    {
      name: 'only-engrave-vex-imports-vexflow',
      comment: 'What is not named there is left out of the built app (src/build/trim-vexflow.ts).',
      severity: 'error',
      from: { path: 'src/', pathNot: 'src/engrave/vex/' },
      to: { path: 'node_modules/vexflow/' },
    },
    {
      name: 'publish-imports-core-io-engrave-sound',
      comment: 'What leaves the house is written and drawn there, without a page or a file system.',
      severity: 'error',
      from: { path: 'src/publish/' },
      to: {
        pathNot: [
          'src/(core|io|engrave|sound|publish)/',
          'node_modules/fflate/',
          '^virtual:lesson-page$',
        ],
      },
    },
    {
      name: 'sound-imports-core-only',
      severity: 'error',
      from: { path: 'src/sound/' },
      to: { pathNot: ['src/core/', 'src/sound/', 'node_modules/pitchy/'] },
    },
    {
      name: 'lesson-page-imports-core-and-sound',
      comment: 'What plays inside an exported lesson is small.',
      severity: 'error',
      from: { path: 'src/lesson-page/' },
      to: { pathNot: ['src/(core|sound|lesson-page)/'] },
    },
    {
      name: 'nothing-imports-the-lesson-page',
      comment:
        'It is built into a text, which the writer puts into the file (src/build/lesson-page.ts).',
      severity: 'error',
      from: { path: 'src/', pathNot: 'src/lesson-page/' },
      to: { path: 'src/lesson-page/' },
    },
    {
      name: 'storage-imports-core-and-io',
      severity: 'error',
      from: { path: 'src/storage/' },
      to: { pathNot: ['src/core/', 'src/io/', 'src/storage/', 'node_modules/idb/'] },
    },
    {
      name: 'cli-never-imports-ui',
      severity: 'error',
      from: { path: 'src/cli/' },
      to: { path: ['src/ui/', 'src/storage/', 'node_modules/(react|react-dom|idb)/'] },
    },
    {
      name: 'nothing-imports-the-roots',
      comment: 'cli and ui are composition roots.',
      severity: 'error',
      from: { pathNot: ['src/cli/', 'src/ui/', '^tests/(?!rules/fixtures/)'] },
      to: { path: ['src/cli/', 'src/ui/'] },
    },
    {
      name: 'ui-shared-is-at-the-bottom',
      comment: 'Order in ui: theme, shared <- score <- frame <- pages <- app.',
      severity: 'error',
      from: { path: 'src/ui/(theme|shared)/' },
      to: { path: 'src/ui/', pathNot: 'src/ui/(theme|shared)/' },
    },
    {
      name: 'ui-score-imports-shared-only',
      severity: 'error',
      from: { path: 'src/ui/score/' },
      to: { path: 'src/ui/', pathNot: 'src/ui/(theme|shared|score)/' },
    },
    {
      name: 'ui-frame-never-imports-pages',
      comment: 'What pages share lives in the frame, which knows none of them.',
      severity: 'error',
      from: { path: 'src/ui/frame/' },
      to: { path: 'src/ui/', pathNot: 'src/ui/(theme|shared|score|frame)/' },
    },
    {
      name: 'ui-pages-import-no-page',
      comment: 'Every other folder of ui is a page; only app and main.tsx put pages together.',
      severity: 'error',
      from: { path: 'src/ui/([^/]+)/', pathNot: 'src/ui/(theme|shared|score|frame|app)/' },
      to: { path: 'src/ui/', pathNot: 'src/ui/(theme|shared|score|frame|$1)/' },
    },
    {
      name: 'nothing-imports-the-build',
      comment: 'What changes the program while it is built is no part of it.',
      severity: 'error',
      from: { path: 'src/', pathNot: 'src/build/' },
      to: { path: 'src/build/' },
    },
    {
      name: 'src-never-imports-tests',
      severity: 'error',
      from: { path: 'src/' },
      to: { path: 'tests/(?!rules/fixtures/)' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.js', '.json'],
      exportsFields: ['exports'],
      conditionNames: ['import', 'default'],
    },
  },
};
