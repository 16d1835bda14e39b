/** What a teacher has in a folder: twenty phrases of a bar or two as quick text, by the names of their files. Invented. */
const HEAD = '[A blues, 4/4, 96 quarters, swing 2:1]';
const LINES: Readonly<Record<string, string>> = {
  'Back Stairs': '{A7} e 3:5 h7 2:5 8b10 q 5~ r',
  'Bread Van': '{A7} e r 3:5 /6 2:5 3:7 2:5 q 8b9',
  'Cold Kettle': '{A7} q 2:5 e 8 5 q 3:7b8 e 5 4:7',
  'Copper Nail': '{A7} q. 3:6 e 2:5 q 8~ r | e 2:8 5 3:7 5 h 4:7',
  'Door Chain': '{D7} e 3:7 2:7 5 3:7 q 5 4:7',
  'Dusty Awning': '{D7} e 3:5 /7 2:7 5 3:7 5 q 4:7 | h 2:7~ r',
  'Eel Pie': '{E7} e 2:9 5 3:7 9 q 7 e 5 4:6',
  'Flat Tyre': '{A7} 3(e 2:8 p5 3:7) e 5 4:7 q 5 r',
  'Half Past': '{A7} e r 2:5 8 5 3:7 5 q 4:7',
  'Hat Stand': '{A7} q 3:5+2:5 e r 3:5+2:5 q 3:7+2:8 3:5+2:5',
  'Ink Well': '{A7} e 4:7 3:5 6 2:5 q 1:5 8b10',
  'Long Shelf': '{A7} e 3:5 6 2:5 1:5 q 2:8 5 | q 3:7 e 5 4:7 h 7~',
  'Milk Round': '{D7} q 2:7 e 5 7 q 3:7 5',
  'Open Window': '{A7} h 2:8b10 e 5 3:7 q 5',
  'Paper Round': '{A7} e 3:5 h6 2:5 3:5 h6 2:5 q 5',
  'Rain Butt': '{D7} e 1:5 2:7 5 3:7 q 2:5 3:7',
  'Second Post': '{E7} q 3:9 e 2:9 5 q 3:9 7 | q 3:7 e 5 4:7 h 7',
  'Short Fuse': '{A7} q 1:5 r e 2:8 p5 q 3:7',
  'Sunday Shoes': '{A7} e 4:7 3:5 q 6 e 2:5 8 q 5',
  'Turn the Key': '{A7} e 2:5 3:8 7 6 q 5 4:7',
};

export const TWENTY = Object.entries(LINES).map(([title, text]) => ({
  title,
  text: `${HEAD} ${text}\n`,
}));
