/** Entering a place on the target, in the crew's unit. */
import { useState } from 'preact/hooks';
import type { TargetPoint } from '../../../protocol/index.ts';
import { impacts } from '../state/crew.ts';
import { session } from '../state/live-state.ts';
import { perform } from '../state/operator.ts';
import { units } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { numberOf } from '../text/entered.ts';
import { TARGET_UNIT } from '../text/target-length.ts';

/** No target is as large; beyond it the unit is wrong. */
const FURTHEST_M = 5;

export function AimForm() {
  return (
    <PlaceForm
      legend="Where the sight points, from the point to be hit"
      verb="Enter aim"
      onPlace={(at) => perform({ act: 'aim', at }, 'Aim')}
    />
  );
}

export function ImpactForm() {
  const struck = new Set(impacts.value?.impacts.map(({ shotId }) => shotId));
  // Where an earlier session's shots struck is that session's to say.
  const offered = shots.value.filter(({ sessionId }) => sessionId === session.value?.sessionId).slice(0, 20);
  const [chosen, setChosen] = useState('');
  const shotId = chosen === '' ? (offered.find(({ id }) => !struck.has(id)) ?? offered[0])?.id : chosen;
  if (shotId === undefined) return <p class="empty">Impacts can be entered once there is a shot.</p>;
  return (
    <PlaceForm
      legend="Where the shot struck, from the point to be hit"
      verb="Enter impact"
      onPlace={async (at) => {
        const taken = await perform({ act: 'impact', shotId, at }, 'Impact');
        if (taken) setChosen('');
        return taken;
      }}
    >
      <label>
        Shot
        <select value={shotId} onChange={(event) => setChosen(event.currentTarget.value)}>
          {offered.map(({ id, number }) => (
            <option key={id} value={id}>
              {number}
              {struck.has(id) ? ', again' : ''}
            </option>
          ))}
        </select>
      </label>
    </PlaceForm>
  );
}

/** Of one shot that is shown. */
export function ImpactOf({ shotId, name }: { readonly shotId: string; readonly name: string }) {
  return (
    <PlaceForm
      legend={`Where ${name} struck, from the point to be hit`}
      verb="Enter impact"
      onPlace={(at) => perform({ act: 'impact', shotId, at }, `Impact of ${name}`)}
    />
  );
}

interface PlaceFormProps {
  readonly legend: string;
  readonly verb: string;
  readonly onPlace: (at: TargetPoint) => Promise<boolean>;
  readonly children?: preact.ComponentChildren;
}

function PlaceForm({ legend, verb, onPlace, children }: PlaceFormProps) {
  const { symbol, toM } = TARGET_UNIT[units.value];
  const [right, setRight] = useState('');
  const [up, setUp] = useState('');
  const [problem, setProblem] = useState('');
  const enter = async () => {
    const [rightM, upM] = [right, up].map((text) => toM(numberOf(text) ?? Number.NaN));
    if (rightM === undefined || upM === undefined || !(Math.abs(rightM) <= FURTHEST_M) || !(Math.abs(upM) <= FURTHEST_M)) {
      setProblem(`Enter both distances in ${symbol}, at most ${FURTHEST_M} m; left and below with a minus.`);
      return;
    }
    setProblem('');
    if (!(await onPlace({ rightM, upM }))) return;
    setRight('');
    setUp('');
  };
  return (
    <form
      class="entry place"
      onSubmit={(event) => {
        event.preventDefault();
        void enter();
      }}
    >
      <fieldset>
        <legend>{legend}</legend>
        {children}
        <label>
          Right (left −), {symbol}
          <input type="text" inputMode="text" value={right} onInput={(event) => setRight(event.currentTarget.value)} />
        </label>
        <label>
          Up (down −), {symbol}
          <input type="text" inputMode="text" value={up} onInput={(event) => setUp(event.currentTarget.value)} />
        </label>
        <button type="submit">{verb}</button>
        {problem !== '' && (
          <p class="problem whole" role="alert">
            {problem}
          </p>
        )}
      </fieldset>
    </form>
  );
}
