/**
 * Text that phrases have in common, for links of the version `a`. It is part of that version: a change
 * makes links that are out in the world unreadable, so another one gets a letter of its own.
 */
export const DICTIONARY_A =
  '"chordTone","overrides":{"anchor":"keepRing":true,"ghost":true,"vibrato":"normal","harmonic":{"kind":"natural"' +
  '"trill":{"semitones":"barDip":"tremolo":"slideIn":{"from":"below","semitones":1},"slideOut":"down","finger":' +
  '"attack":"slide-plucked","attack":"slide","attack":"pull-off","attack":"hammer-on","palmMute":true,"staccato":true,"accent":true,' +
  '"graces":[{"notes":[{"bend":{"shape":"bend-release","semitones":2},"bend":{"shape":"bend","semitones":1},' +
  '"tuplets":[{"onset":0,"duration":10080,"actual":3,"normal":2}],"letRing":true,"stroke":"down",' +
  '"marks":[],"repeat":"start","symbol":"Am7"},{"onset":40320,"symbol":"D7"},{"onset":0,"symbol":"G7"},' +
  '"chords":[{"onset":0,"symbol":"C7"},{"onset":40320,"symbol":"F7"}],' +
  '"bars":[{"meter":{"beats":4,"beatType":4}},{"meter":{"beats":4,"beatType":4}}],"pickup":0,"length":80640,' +
  '"feel":{"kind":"swing","unit":"eighth","first":2,"second":1},"feel":{"kind":"straight"},"tempo":{"bpm":92,"unit":"quarter"},' +
  '"key":{"tonic":{"letter":"G","alter":0},"mode":"blues"},"mode":"major"},"mode":"minor"},"capo":0,"clef":"treble-8"},' +
  '"instrument":{"name":"Guitar","tuning":[{"letter":"E","alter":0,"octave":4},{"letter":"B","alter":0,"octave":3},' +
  '{"letter":"G","alter":0,"octave":3},{"letter":"D","alter":0,"octave":3},{"letter":"A","alter":0,"octave":2},' +
  '{"letter":"E","alter":0,"octave":2}],"frets":22,"scaleLength":648,"capo":0,"clef":"treble-8"},' +
  '{"format":"degreewise-phrase","version":3,"id":"","parent":null,"meta":{"title":"","tags":["blues","turnaround"],' +
  '"styleOf":"","source":"","level":2,"notes":"","created":"2026-11-27T08:00:00.000Z","modified":"2026-11-27T08:00:00.000Z"},' +
  '"voices":[{"events":[{"onset":0,"duration":5040,"notes":[{"kind":"dead","id":"n10","string":5,"fret":0}]},' +
  '{"onset":10080,"duration":10080,"notes":[{"kind":"pitched","id":"n1","pitch":{"letter":"B","alter":-1,"octave":4},"string":3,"fret":3}]},' +
  '{"onset":20160,"duration":2520,"notes":[{"kind":"pitched","id":"n2","pitch":{"letter":"F","alter":1,"octave":4},"string":2,"fret":5}]}';
