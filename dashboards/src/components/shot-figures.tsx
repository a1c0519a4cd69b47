/** All the other numbers of a shot. */

import { formatValue, type QuantityKind } from '../../../host/units/index.ts';
import type { Latched, Shot } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { ageText } from '../text/age-text.ts';
import { latchedParts, oneLine, resultParts } from '../text/result-text.ts';
import { reynoldsText } from '../text/reynolds-text.ts';

export function ShotFigures({ shot }: { readonly shot: Shot }) {
  const system = units.value;
  const { air } = shot;
  return (
    <>
      <table class="figures-table">
        <caption>
          Measured <small>(± 95 %)</small>
        </caption>
        <tbody>
          <Row name="Target velocity" text={oneLine(resultParts(shot.targetVelocityMps, 'velocity', system))} />
          {shot.pairs.map((pair) => (
            <Row
              key={pair.name}
              name={`Pair ${pair.name}`}
              detail={`${pair.gates.join('–')}, at ${formatValue(pair.positionM, 'length', system)}`}
              text={oneLine(resultParts(pair.velocityMps, 'velocity', system))}
            />
          ))}
          <Row name="Speed lost" detail="muzzle to target" text={oneLine(resultParts(shot.velocityLostMps, 'velocity', system))} />
          <Row name="Time of flight" detail="muzzle to target" text={oneLine(resultParts(shot.flightTimeS, 'time', system))} />
          <Row name="Drop" detail="at the target" text={oneLine(resultParts(shot.targetDropM, 'smallLength', system))} />
          <Row
            name="Drag coefficient"
            detail={
              shot.dragMach === undefined ? '' : `at Mach ${shot.dragMach.value.toFixed(2)}, Re ${reynoldsText(shot.dragReynolds?.value)}`
            }
            text={oneLine(resultParts(shot.dragCoefficient, 'number', system))}
          />
          <Row name="Energy" detail="muzzle" text={oneLine(resultParts(shot.muzzleEnergyJ, 'energy', system))} />
          <Row name="Energy" detail="target" text={oneLine(resultParts(shot.targetEnergyJ, 'energy', system))} />
          <Row name="Momentum" detail="muzzle" text={oneLine(resultParts(shot.muzzleMomentumNs, 'momentum', system))} />
          <Row name="Momentum" detail="target" text={oneLine(resultParts(shot.targetMomentumNs, 'momentum', system))} />
          <BlowDownRows blowDown={shot.blowDown} />
          <LatchedRow name="Reservoir" detail="absolute" latched={shot.reservoirPressurePa} kind="pressure" />
          <LatchedRow name="Barrel" detail="absolute" latched={shot.barrelPressurePa} kind="vacuum" />
        </tbody>
      </table>
      <table class="figures-table">
        <caption>
          Air <small>(± 95 %)</small>
        </caption>
        <tbody>
          <LatchedRow name="Temperature" latched={air.temperatureK} kind="temperature" />
          <LatchedRow name="Pressure" detail="absolute" latched={air.pressurePa} kind="airPressure" />
          <LatchedRow name="Humidity" latched={air.relativeHumidity} kind="humidity" />
          <Row name="Speed of sound" text={oneLine(resultParts(air.speedOfSoundMps, 'velocity', system))} />
          <Row name="Density" text={oneLine(resultParts(air.densityKgM3, 'density', system))} />
        </tbody>
      </table>
    </>
  );
}

function Row({ name, detail = '', text }: { readonly name: string; readonly detail?: string; readonly text: string }) {
  return (
    <tr>
      <th scope="row">
        {name} {detail !== '' && <small>{detail}</small>}
      </th>
      <td class="figures">{text}</td>
    </tr>
  );
}

/** What the reservoir lost at the firing, and what of it the projectile got. */
function BlowDownRows({ blowDown }: { readonly blowDown: Shot['blowDown'] }) {
  const system = units.value;
  const { pressureDropPa, energyDrawnJ, efficiency } = blowDown ?? {};
  return (
    <>
      <Row name="Blow-down" detail="pressure drop" text={oneLine(resultParts(pressureDropPa, 'pressure', system))} />
      <Row name="Energy drawn" detail="from the reservoir" text={oneLine(resultParts(energyDrawnJ, 'energy', system))} />
      <Row name="Projectile got" detail="of the energy drawn" text={oneLine(resultParts(efficiency, 'humidity', system))} />
    </>
  );
}

interface LatchedRowProps {
  readonly name: string;
  readonly detail?: string;
  readonly latched: Latched | undefined;
  readonly kind: QuantityKind;
}

/** Says where the value was assumed, and how old it was at the firing when that is worth saying. */
function LatchedRow({ name, detail = '', latched, kind }: LatchedRowProps) {
  const origin = latched?.origin === 'assumed' ? 'ASSUMED' : latched && latched.ageS >= 1 ? `${ageText(latched.ageS)} old` : '';
  return (
    <Row
      name={name}
      detail={[detail, origin].filter((part) => part !== '').join(', ')}
      text={oneLine(latchedParts(latched, kind, units.value))}
    />
  );
}
