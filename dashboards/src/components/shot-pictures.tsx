import { useMemo } from 'preact/hooks';
import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { RangeDrawing } from './range-drawing.tsx';
import { ShotPressures } from './shot-pressures.tsx';
import { ShotVelocities } from './shot-velocities.tsx';
import { useAfterPaint } from './use-after-paint.ts';

/** All that is drawn of a shot. */
export function ShotPictures({ shot, rig }: { readonly shot: Shot; readonly rig: RigSummary | undefined }) {
  const drawn = useAfterPaint(shot);
  return useMemo(
    () =>
      drawn && (
        <>
          {rig && <RangeDrawing shot={drawn} rig={rig} id="shot-range" />}
          <ShotPressures shot={drawn} />
          {rig && <ShotVelocities shot={drawn} rig={rig} />}
        </>
      ),
    [drawn, rig],
  );
}
