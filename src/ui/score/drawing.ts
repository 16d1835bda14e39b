/*
 * What the page needs of the engraver, in one piece that is fetched when the first music is shown.
 */
export { inkPhrase as engrave } from '../../engrave/engrave';
export { engraveTogether } from '../../engrave/together';
