/** Signs that a player can wish for. */
export const WISHES = ['bends', 'slides', 'legato', 'vibrato', 'double-stops'] as const;
export type Wish = (typeof WISHES)[number];

/** How a chorus goes: as it comes, ever denser and higher, or two bars asking and two answering. */
export const COURSES = ['free', 'build', 'answer'] as const;
export type Course = (typeof COURSES)[number];

/** Whether phrases take up what was just heard more than in real solos, as much, or less. */
export const VARIETIES = ['one-idea', 'usual', 'new'] as const;
export type Variety = (typeof VARIETIES)[number];

export const HANDS = ['free', 'near'] as const;
/** Whether it counts how far the hand has to go between phrases. */
export type HandTaste = (typeof HANDS)[number];

/** What somebody wants of a solo beyond good joins; all as usual where absent. */
export interface SoloTaste {
  readonly course?: Course;
  readonly variety?: Variety;
  readonly hand?: HandTaste;
  readonly wishes?: readonly Wish[];
}
