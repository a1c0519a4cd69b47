/** A projectile that had another mass than the rig file says: the shot is reduced anew with it. */
import { useState } from 'preact/hooks';
import { unitOf } from '../../../host/units/index.ts';
import type { Mass, Shot } from '../../../protocol/index.ts';
import { perform } from '../state/operator.ts';
import { units } from '../state/preferences.ts';
import { numberOf } from '../text/entered.ts';
import { ReasonForm } from './reason-form.tsx';

const UNIT = { SI: 'g', US: 'gr' } as const;

export interface WeighFormProps {
  readonly shot: Shot;
  readonly name: string;
  readonly then: () => Promise<void>;
}

export function WeighForm({ shot, name, then }: WeighFormProps) {
  const [mass, setMass] = useState('');
  const [spread, setSpread] = useState('');
  const symbol = UNIT[units.value];
  const entered = massOf(mass, spread, symbol);
  const weigh = async (reason: string, told: Mass | undefined): Promise<boolean> => {
    const act = { act: 'weigh', shotId: shot.id, ...(told ? { mass: told } : {}), reason } as const;
    const isDone = await perform(act, told ? `Mass of ${name}` : `Rig file’s mass again, ${name}`);
    if (!isDone) return false;
    setMass('');
    setSpread('');
    await then();
    return true;
  };
  return (
    <>
      <ReasonForm
        why={`Why the projectile of ${name} has another mass than the rig file says`}
        verb="Enter mass"
        isReady={entered !== undefined}
        onDo={(reason) => weigh(reason, entered)}
      >
        <label>
          Mass, {symbol}
          <input type="text" inputMode="decimal" value={mass} onInput={(event) => setMass(event.currentTarget.value)} />
        </label>
        <label>
          ± (95 %), {symbol}
          <input type="text" inputMode="decimal" value={spread} onInput={(event) => setSpread(event.currentTarget.value)} />
        </label>
      </ReasonForm>
      {shot.weighed && (
        <ReasonForm
          why={`Why the rig file’s mass counts again for ${name}`}
          verb="Rig file’s mass"
          onDo={(reason) => weigh(reason, undefined)}
        />
      )}
    </>
  );
}

/** @param spread  expanded, k = 2 @returns undefined while it is no mass; whether it may be this projectile's the host judges */
function massOf(mass: string, spread: string, symbol: string): Mass | undefined {
  const { multiply, divide } = unitOf(symbol, 'mass');
  const [valueKg, expandedKg] = [mass, spread].map((text) => ((numberOf(text) ?? Number.NaN) * multiply) / divide);
  if (valueKg === undefined || expandedKg === undefined || !(valueKg > 0) || !(expandedKg >= 0)) return undefined;
  return { valueKg, standardUncertaintyKg: expandedKg / 2 };
}
