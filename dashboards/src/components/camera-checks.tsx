/** What cameras have of a shot: verdict, numbers, suspects, budget. */
import type { CameraVerdict, CrossCheck, Measured, Shot, ShotCamera } from '../../../protocol/index.ts';
import { session } from '../state/live-state.ts';
import { mayAct } from '../state/may-act.ts';
import { units } from '../state/preferences.ts';
import { oneLine, resultParts } from '../text/result-text.ts';
import { sentence } from '../text/sentence.ts';
import { BudgetTable } from './budget-tables.tsx';
import { WithdrawTrack } from './withdraw-track.tsx';

const VERDICTS: Readonly<Record<CameraVerdict, string>> = {
  agree: 'AGREE',
  disagree: 'DISAGREE',
  'cannot-tell': 'CAMERA CANNOT TELL',
  'camera-only': 'CAMERA ONLY',
  'no-speed': 'NO SPEED',
};

export function CameraChecks({ shot }: { readonly shot: Shot }) {
  const { cameras = [] } = shot;
  if (cameras.length === 0) return <p class="empty">No camera has anything of this shot yet.</p>;
  return (
    <>
      {cameras.map((camera) => (
        <CameraCheck key={camera.camera} of={camera} shot={shot} />
      ))}
    </>
  );
}

function CameraCheck({ of, shot }: { readonly of: ShotCamera; readonly shot: Shot }) {
  const { camera, clip, who, track, check, withdrawal } = of;
  const isOwn = shot.sessionId === session.value?.sessionId;
  return (
    <section class="camera-check" aria-label={`Camera ${camera}`}>
      <h3>
        Camera {camera} <small>{[clip === '' ? '' : `clip ${clip}`, `told by ${who}`].filter((part) => part !== '').join(', ')}</small>
      </h3>
      {withdrawal && (
        <p class="camera-verdict">
          <strong>TRACK WITHDRAWN</strong> It does not count, {withdrawal.who} says: {sentence(withdrawal.reason)} It is kept.
        </p>
      )}
      {check ? (
        <>
          <p class={`camera-verdict is-${check.verdict}`}>
            <strong>{VERDICTS[check.verdict]}</strong> {check.words}
          </p>
          <Figures check={check} />
          {check.suspicions && <Suspicions suspicions={check.suspicions} />}
          {check.velocityMps && (
            <details class="budget">
              <summary>Uncertainty budget of the camera’s velocity</summary>
              <BudgetTable name={`Velocity at ${placeText(check.place)}, camera ${camera}`} result={check.velocityMps} />
            </details>
          )}
        </>
      ) : (
        !withdrawal && (
          <p class="note">{track ? 'Its track waits for the shot to be closed.' : 'Its clip is named; no track was marked.'}</p>
        )
      )}
      {track && mayAct.value && isOwn && <WithdrawTrack shotId={shot.id} of={of} />}
    </section>
  );
}

const placeText = (place = 'datum'): string => (place === 'datum' ? 'the muzzle datum' : place);

function Figures({ check }: { readonly check: CrossCheck }) {
  const { place, velocityMps, gatesVelocityMps, differenceMps, score, datumVelocityMps, passage, scalePxPerM, squarenessRad } = check;
  const speed = (value: Measured | undefined) => value && oneLine(resultParts(value, 'velocity', units.value));
  const plain = (value: Measured | undefined, factor: number, unit: string) =>
    value && `${(factor * value.value).toFixed(1)} ± ${(factor * value.expandedUncertainty).toFixed(1)} ${unit}`;
  const rows: readonly (readonly [string, string | undefined])[] = [
    [`Camera, at ${placeText(place)}`, speed(velocityMps)],
    [`Gates, at ${placeText(place)}`, speed(gatesVelocityMps)],
    ['Camera less gates', speed(differenceMps)],
    ['E_n', score?.toFixed(2)],
    ['Camera, at the muzzle datum', place === 'datum' ? undefined : speed(datumVelocityMps)],
    [`Passage of gate ${passage?.gate}, camera less gate`, plain(passage?.differenceS, 1e6, 'µs')],
    ['Scale at the flight line', plain(scalePxPerM, 1, 'px/m')],
    ['Turned from square', plain(squarenessRad, 180 / Math.PI, '°')],
  ];
  const said = rows.filter(([, value]) => value !== undefined);
  if (said.length === 0) return null;
  return (
    <table class="figures-table">
      <caption>
        Measured <small>(± 95 %)</small>
      </caption>
      <tbody>
        {said.map(([name, value]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td class="figures">{value}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Suspicions({ suspicions }: { readonly suspicions: NonNullable<CrossCheck['suspicions']> }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="scrolling" tabIndex={0} aria-label="What alone would explain it">
      <table>
        <caption>What alone would explain it</caption>
        <thead>
          <tr>
            <th scope="col">Suspect</th>
            <th scope="col">Off by</th>
            <th scope="col">Share</th>
          </tr>
        </thead>
        <tbody>
          {suspicions.map(({ suspect, shift, share }) => (
            <tr key={suspect}>
              <th scope="row">{suspect}</th>
              <td>{shift}</td>
              <td class="figures">{(100 * share).toFixed(share < 0.1 ? 1 : 0)} %</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
