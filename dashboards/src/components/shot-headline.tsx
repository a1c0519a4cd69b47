import type { Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { measuringId } from '../state/shots.ts';
import { cameraOnly } from '../text/camera-only.ts';
import { oneLine, resultParts } from '../text/result-text.ts';
import { timeOfDay } from '../text/time-text.ts';

/** Number, time, and the two numbers that everybody waits for. */
export function ShotHeadline({ shot }: { readonly shot: Shot }) {
  const velocity = resultParts(shot.muzzleVelocityMps, 'velocity', units.value);
  const seen = cameraOnly(shot);
  const cameraText = ({ camera, velocityMps }: NonNullable<typeof seen>): string =>
    `camera ${camera} only: ${oneLine(resultParts(velocityMps, 'velocity', units.value))}`;
  const mach = resultParts(shot.mach, 'number', units.value);
  return (
    <div class="headline">
      <div>
        <h2 id="shot-title">Shot {shot.number}</h2>
        <p>
          {shot.firedAt.slice(0, 10)} <span class="figures">{timeOfDay(shot.firedAt)}</span> UTC, timed by {shot.firedBy}
        </p>
        <p>{shot.projectile}</p>
      </div>
      <dl>
        <div class="hero">
          <dt>Muzzle velocity</dt>
          {shot.muzzleVelocityMps ? (
            <dd>
              <span class="number figures" data-testid="muzzle">
                {velocity.value}
              </span>{' '}
              <span class="uncertainty figures">± {velocity.uncertainty}</span> <span class="symbol">{velocity.symbol}</span>
              <span class="note">± is the expanded uncertainty, 95 %</span>
            </dd>
          ) : (
            <dd class="none">{shot.id === measuringId.value ? 'measuring…' : seen ? cameraText(seen) : 'none'}</dd>
          )}
        </div>
        {shot.mach && (
          <div class="hero">
            <dt>Mach</dt>
            <dd>
              <span class="number figures">{mach.value}</span> <span class="uncertainty figures">± {mach.uncertainty}</span>
              <span class="note">at the muzzle datum, 95 %</span>
            </dd>
          </div>
        )}
      </dl>
    </div>
  );
}
