/** Which fill gives a velocity? Asked of the host, answered with its interval, or refused with what would help. */
import { useState } from 'preact/hooks';
import { DISPLAY, formatValue } from '../../../host/units/index.ts';
import type { MapFill, MapKind } from '../../../protocol/index.ts';
import { askFill } from '../state/map.ts';
import { units } from '../state/preferences.ts';
import { numberOf } from '../text/entered.ts';
import { bandText, barrelText, gaugeText } from '../text/map-text.ts';

type Told = { readonly answer: MapFill; readonly barrelPa: number } | { readonly problem: string } | undefined;

/** SI of one of the shown unit. */
const factorOf = (kind: 'velocity' | 'vacuum', system: 'SI' | 'US'): number => 1 / DISPLAY[kind][system].differenceFromSi(1);

export function FillQuestion({ kind }: { readonly kind: MapKind }) {
  const system = units.value;
  const [velocity, setVelocity] = useState('');
  const [barrel, setBarrel] = useState('');
  const [told, setTold] = useState<Told>();
  const usualPa = kind.points[Math.floor(kind.points.length / 2)]?.barrelPressurePa ?? kind.ambientPressurePa;
  const ask = async (event: Event): Promise<void> => {
    event.preventDefault();
    const wanted = numberOf(velocity);
    const given = barrel.trim() === '' ? undefined : numberOf(barrel);
    const velocityMps = (wanted ?? Number.NaN) * factorOf('velocity', system);
    const barrelPa = barrel.trim() === '' ? usualPa : (given ?? Number.NaN) * factorOf('vacuum', system);
    if (!(velocityMps > 0)) return setTold({ problem: 'Enter a velocity above zero.' });
    if (!(barrelPa > 0)) return setTold({ problem: 'Enter the pressure in the barrel, absolute and above zero.' });
    const answer = await askFill({ velocityMps, barrelPa });
    if (answer.kind === 'answer') setTold({ answer: answer.value, barrelPa });
    else setTold({ problem: answer.kind === 'none' ? 'This host makes no maps.' : `It could not be asked: ${answer.why}.` });
  };
  return (
    <section class="panel" aria-labelledby="fill-for-title">
      <h2 id="fill-for-title">Fill for a velocity</h2>
      <form class="entry" onSubmit={ask}>
        <label>
          Velocity, {DISPLAY.velocity[system].symbol}
          <input type="text" inputMode="decimal" value={velocity} onInput={(event) => setVelocity(event.currentTarget.value)} />
        </label>
        <label>
          Barrel, {DISPLAY.vacuum[system].symbol} absolute
          <input
            type="text"
            inputMode="decimal"
            value={barrel}
            placeholder={formatValue(usualPa, 'vacuum', system)}
            onInput={(event) => setBarrel(event.currentTarget.value)}
          />
        </label>
        <button type="submit">Ask</button>
      </form>
      <div role="status">{told && <Told told={told} kind={kind} />}</div>
    </section>
  );
}

function Told({ told, kind }: { readonly told: NonNullable<Told>; readonly kind: MapKind }) {
  const system = units.value;
  const ambientPa = kind.ambientPressurePa;
  if ('problem' in told) return <p class="notice">{told.problem}</p>;
  const { answer, barrelPa } = told;
  if (answer.kind === 'refused') {
    const { shotThatHelps: shot } = answer;
    return (
      <p class="notice">
        {answer.message}
        {shot &&
          ` What would help: a shot at ${gaugeText(shot.reservoirPressurePa, ambientPa, system)}, the barrel at ${barrelText(shot.barrelPressurePa, system)}.`}
      </p>
    );
  }
  return (
    <>
      <p class="map-answer">
        Fill to <strong class="figures">{gaugeText(answer.reservoirPressurePa, ambientPa, system)}</strong>, 95 % between{' '}
        <span class="figures">
          {gaugeText(answer.lowPa, ambientPa, system)} and {gaugeText(answer.highPa, ambientPa, system)}
        </span>
        , settled, as this gauge reads; the barrel at {barrelText(barrelPa, system)}.
      </p>
      <p>
        The next shot: <span class="figures">{bandText(answer.nextShot, system)}</span> (95 %). No leave to fill: the rig's limits and the
        person in charge of firing come first.
      </p>
    </>
  );
}
