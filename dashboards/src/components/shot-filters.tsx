/** Which shots are listed. Everything that is set here stands in the address. */
import { useComputed } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { DISPLAY, type QuantityKind } from '../../../host/units/index.ts';
import { units } from '../state/preferences.ts';
import { ask, question } from '../state/shot-list.ts';
import { rows } from '../state/shot-rows.ts';
import { enteredNumber } from '../text/entered-number.ts';
import { flagText } from '../text/flags.ts';
import { ALL_SHOTS, filterCount, ORDERS, type OrderBy, type SpanName } from '../text/shot-question.ts';

const SPAN_WORDS: Readonly<Record<SpanName, { readonly name: string; readonly kind: QuantityKind; readonly more: string }>> = {
  fill: { name: 'Fill', kind: 'pressure', more: ' abs.' },
  velocity: { name: 'Muzzle', kind: 'velocity', more: '' },
  mach: { name: 'Mach', kind: 'number', more: '' },
};
export const ORDER_WORDS: Readonly<Record<OrderBy, string>> = {
  fired: 'time fired',
  fill: 'fill',
  vacuum: 'vacuum',
  velocity: 'muzzle velocity',
  mach: 'Mach',
  target: 'target velocity',
  drag: 'drag coefficient',
  flags: 'number of flags',
};

/** Narrower, the list itself is to be on the first screen. */
const WIDE_PX = 700;

export function ShotFilters() {
  const sessions = useComputed(() => [...new Set(rows.value.map(({ session }) => session))]);
  const projectiles = useComputed(() => [...new Set(rows.value.map(({ projectile }) => projectile))].sort());
  const flags = useComputed(() => [...new Set(rows.value.flatMap((row) => row.flags))].sort());
  const { session, projectile, text, flags: flag, counted, by, isDescending, chosen } = question.value;
  const set = filterCount(question.value);
  const [isOpen, setOpen] = useState(innerWidth >= WIDE_PX);
  return (
    <details class="filters" open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{set === 0 ? 'Filters and order' : `Filters and order: ${set} set`}</summary>
      <form class="entry shot-filters" aria-label="Which shots" onSubmit={(event) => event.preventDefault()}>
        <label>
          Session
          <select value={session} onChange={(event) => ask({ session: event.currentTarget.value })}>
            <option value="">all</option>
            {withOwn(sessions.value, session).map((id) => (
              <option key={id}>{id}</option>
            ))}
          </select>
        </label>
        <label>
          Projectile
          <select value={projectile} onChange={(event) => ask({ projectile: event.currentTarget.value })}>
            <option value="">all</option>
            {withOwn(projectiles.value, projectile).map((name) => (
              <option key={name}>{name}</option>
            ))}
          </select>
        </label>
        {(Object.keys(SPAN_WORDS) as SpanName[]).map((name) => (
          <SpanField key={name} name={name} />
        ))}
        <label>
          Left out
          <select value={counted} onChange={(event) => ask({ counted: event.currentTarget.value as typeof counted })}>
            <option value="">with the others</option>
            <option value="in">not listed</option>
            <option value="out">alone listed</option>
          </select>
        </label>
        <label>
          Flags
          <select value={flag} onChange={(event) => ask({ flags: event.currentTarget.value })}>
            <option value="">any or none</option>
            <option value="none">none</option>
            <option value="some">at least one</option>
            {withOwn(flags.value, ['none', 'some'].includes(flag) ? '' : flag).map((name) => (
              <option key={name} value={name}>
                {flagText(name).title}
              </option>
            ))}
          </select>
        </label>
        <label>
          Words in them
          <input type="text" maxLength={100} value={text} onInput={(event) => ask({ text: event.currentTarget.value })} />
        </label>
        <label>
          Order by
          <select value={by} onChange={(event) => ask({ by: event.currentTarget.value as OrderBy })}>
            {ORDERS.map((name) => (
              <option key={name} value={name}>
                {ORDER_WORDS[name]}
              </option>
            ))}
          </select>
        </label>
        <button type="button" aria-pressed={isDescending} onClick={() => ask({ isDescending: !isDescending })}>
          {by === 'fired' ? (isDescending ? 'Newest first' : 'Oldest first') : isDescending ? 'Largest first' : 'Smallest first'}
        </button>
        <button type="button" disabled={set === 0} onClick={() => ask({ ...ALL_SHOTS, by, isDescending, chosen })}>
          {set === 0 ? 'No filter' : `Clear ${set} ${set === 1 ? 'filter' : 'filters'}`}
        </button>
      </form>
    </details>
  );
}

/** What the address asks for is offered even where no shot has it. */
const withOwn = (names: readonly string[], own: string): readonly string[] => (own === '' || names.includes(own) ? names : [own, ...names]);

function SpanField({ name }: { readonly name: SpanName }) {
  const { name: words, kind, more } = SPAN_WORDS[name];
  const { symbol } = DISPLAY[kind][units.value];
  const unit = symbol === '' ? '' : `, ${symbol}${more}`;
  return (
    <fieldset class="span-field">
      <legend>
        {words}
        {unit}
      </legend>
      <SpanEnd name={name} end="from" label={`${words} from${unit}`} />
      <span aria-hidden="true">to</span>
      <SpanEnd name={name} end="to" label={`${words} to${unit}`} />
    </fieldset>
  );
}

interface SpanEndProps {
  readonly name: SpanName;
  readonly end: 'from' | 'to';
  readonly label: string;
}

function SpanEnd({ name, end, label }: SpanEndProps) {
  const perSi = DISPLAY[SPAN_WORDS[name].kind][units.value].differenceFromSi(1);
  const spans = question.value.spans;
  const si = spans[name][end];
  const shown = si === undefined ? '' : String(Number((si * perSi).toPrecision(6)));
  const [text, setText] = useState(shown);
  // The address, the units or the clearing of all filters have changed it; what is being typed stays as it is.
  useEffect(() => setText((typed) => (isSame(typed, shown) ? typed : shown)), [shown]);
  const value = enteredNumber(text);
  return (
    <input
      type="text"
      inputMode="decimal"
      aria-label={label}
      aria-invalid={value === undefined}
      title={value === undefined ? 'Enter a number, or nothing for an open end.' : ''}
      maxLength={16}
      value={text}
      onInput={(event) => {
        const typed = event.currentTarget.value;
        setText(typed);
        const number = enteredNumber(typed);
        if (number === undefined) return;
        const { [end]: _before, ...other } = spans[name];
        ask({ spans: { ...spans, [name]: number === null ? other : { ...other, [end]: number / perSi } } });
      }}
    />
  );
}

const isSame = (typed: string, shown: string): boolean => {
  const number = enteredNumber(typed);
  return number === null ? shown === '' : number !== undefined && Math.abs(number - Number(shown)) <= 1e-5 * Math.abs(number);
};
