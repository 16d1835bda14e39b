/** What the tests use of midi-file 1.2.4, which ships no types. */
declare module 'midi-file' {
  export interface MidiEvent {
    readonly deltaTime: number;
    readonly type: string;
    readonly meta?: boolean;
    readonly channel?: number;
    readonly noteNumber?: number;
    readonly velocity?: number;
    readonly controllerType?: number;
    readonly value?: number;
    readonly programNumber?: number;
    readonly microsecondsPerBeat?: number;
    readonly numerator?: number;
    readonly denominator?: number;
    readonly key?: number;
    readonly scale?: number;
    readonly text?: string;
  }
  export interface MidiData {
    readonly header: {
      readonly format: number;
      readonly numTracks: number;
      readonly ticksPerBeat: number;
    };
    readonly tracks: readonly (readonly MidiEvent[])[];
  }
  export function parseMidi(bytes: Uint8Array): MidiData;
}
