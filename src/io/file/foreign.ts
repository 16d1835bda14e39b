import type { Problem } from '../../core/result';

/**
 * First bytes of files that hold no notes, as their formats have them: RIFF and its form type (Multimedia
 * Programming Interface 1.0), Ogg (RFC 3533), FLAC (RFC 9639), MPEG audio with or without ID3, ISO base media, EBML
 * (RFC 8794), PNG, JPEG, GIF, PDF.
 */
const RECORDING =
  /^(?:RIFF.{4}WAVE|OggS|fLaC|ID3|\xff[\xe2-\xf3\xfa\xfb]|.{4}ftyp|.E\xdf\xa3|FORM.{4}AIF)/su;
const PICTURE = /^(?:\x89PNG|\xff\xd8\xff|GIF8|RIFF.{4}WEBP|%PDF-)/su;

/** What a file is that holds no notes, and what can be done with it; null for anything else. */
export function withoutNotes(bytes: Uint8Array): Problem | null {
  const start = Array.from(bytes.subarray(0, 12), (b) => String.fromCharCode(b)).join('');
  if (RECORDING.test(start)) {
    return {
      message: 'this is a recording, and phrases are read from notes',
      foreign: true,
      fix: '‘Catch it’ in the app hears what is played in it and writes it down; on the command line, catch hears a .wav.',
    };
  }
  if (PICTURE.test(start)) {
    return {
      message: 'this is a picture, and what is drawn is not read',
      foreign: true,
      fix: 'Give the phrase as .json, .musicxml, .mxl or .mid, or as quick text or tablature in a file that ends in .quick or .txt.',
    };
  }
  return null;
}
