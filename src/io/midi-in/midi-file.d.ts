/** What is used of midi-file 1.2.4, all events in one shape; text comes as one character a byte. */
declare module 'midi-file' {
  export interface MidiEvent {
    readonly deltaTime: number;
    readonly type: string;
    readonly number?: number;
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
    readonly data?: Iterable<number>;
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
  export function writeMidi(data: MidiData): number[];
}
