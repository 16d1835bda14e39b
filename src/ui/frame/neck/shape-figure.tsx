import { useMemo } from 'react';
import type { Phrase } from '../../../core/phrase/types';
import type { ChordShape } from '../../../core/shapes/types';
import { drawUpright } from '../../../engrave/neck/upright';
import { System } from '../../score/system';

/** A shape as a small neck that stands upright. */
export function ShapeFigure(props: {
  readonly phrase: Phrase;
  readonly shape: ChordShape;
  readonly leftHanded: boolean;
}) {
  const { phrase, shape, leftHanded } = props;
  const { svg } = useMemo(
    () => drawUpright({ instrument: phrase.instrument, tones: shape.tones, leftHanded }),
    [phrase.instrument, shape, leftHanded],
  );
  return (
    <span className="shape-figure" aria-hidden="true">
      <System svg={svg} />
    </span>
  );
}
