import { DISPLAY, formatParts } from '../../../host/units/index.ts';
import type { ShotTableRow } from '../../../protocol/index.ts';
import { units } from '../state/preferences.ts';
import { ask, choose, question } from '../state/shot-list.ts';
import { addressOf } from '../state/shots.ts';
import { flagText } from '../text/flags.ts';
import type { OrderBy } from '../text/shot-question.ts';

/** One row a shot. On a narrow screen less stands beside each other and more below. */
export function ListedTable({ rows }: { readonly rows: readonly ShotTableRow[] }) {
  const system = units.value;
  const velocity = DISPLAY.velocity[system].symbol;
  return (
    <table class="listed">
      <thead>
        <tr>
          <th scope="col">
            <span class="for-ears">Choose</span>
          </th>
          <Head by="fired">
            Shot<span class="narrow-only">, UTC</span>
          </Head>
          <th scope="col" class="wide-only">
            Fired, UTC
          </th>
          <th scope="col" class="wide-only">
            Projectile
          </th>
          <Head by="velocity">
            Muzzle, {velocity} <small>±&nbsp;2u</small>
          </Head>
          <Head by="mach" wideOnly>
            Mach
          </Head>
          <Head by="target" wideOnly>
            Target, {velocity}
          </Head>
          <Head by="drag" wideOnly>
            Drag <small>coefficient</small>
          </Head>
          <Head by="fill">Fill, {DISPLAY.pressure[system].symbol} abs.</Head>
          <Head by="vacuum" wideOnly>
            Vacuum, {DISPLAY.vacuum[system].symbol} abs.
          </Head>
          <Head by="flags" wideOnly>
            Flags and notes
          </Head>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row key={row.id} row={row} isChosen={question.value.chosen.includes(row.id)} />
        ))}
      </tbody>
    </table>
  );
}

interface HeadProps {
  readonly by: OrderBy;
  readonly wideOnly?: boolean;
  readonly children: preact.ComponentChildren;
}

function Head({ by, wideOnly = false, children }: HeadProps) {
  const { by: now, isDescending } = question.value;
  const isOwn = now === by;
  return (
    <th scope="col" class={wideOnly ? 'wide-only' : ''} aria-sort={isOwn ? (isDescending ? 'descending' : 'ascending') : undefined}>
      <button type="button" class="order-by" onClick={() => ask({ by, isDescending: isOwn ? !isDescending : true })}>
        <span>{children}</span> <span aria-hidden="true">{isOwn ? (isDescending ? '▼' : '▲') : ''}</span>
      </button>
    </th>
  );
}

/** The standard uncertainty is all that a row has: doubled, near 95 % for what is close to normal. */
const COVERAGE = 2;

function Row({ row, isChosen }: { readonly row: ShotTableRow; readonly isChosen: boolean }) {
  const system = units.value;
  const parts = (si: number | null, u: number | null, kind: Parameters<typeof formatParts>[2]) =>
    formatParts(si ?? Number.NaN, u === null ? undefined : COVERAGE * u, kind, system);
  const muzzle = parts(row.muzzleVelocityMps, row.muzzleVelocityStandardUncertaintyMps, 'velocity');
  const mach = parts(row.mach, row.machStandardUncertainty, 'number').value;
  const date = row.firedAt.slice(0, 10);
  const time = row.firedAt.slice(11, 19);
  return (
    <tr class={row.excluded ? 'left-out-row' : ''}>
      <td class="choose-cell">
        <label class="choose">
          <input
            type="checkbox"
            checked={isChosen}
            aria-label={`Choose shot ${row.number} of ${date}, ${time}`}
            onChange={(event) => choose(row.id, event.currentTarget.checked)}
          />
        </label>
      </td>
      <td>
        <a class="button" href={`/shot${addressOf(row.id)}`} data-page="" aria-label={`Show shot ${row.number} of ${date}, ${time}`}>
          {row.number}
        </a>
        <span class="narrow-only under figures">
          {date} {time.slice(0, 5)}
        </span>
      </td>
      <td class="figures wide-only">
        {date} {time}
        <span class="under">{row.session}</span>
      </td>
      <td class="wide-only">{row.projectile}</td>
      <td class="figures">
        <b>{muzzle.value}</b> {muzzle.uncertainty !== '' && <span class="quiet">± {muzzle.uncertainty}</span>}
        <span class="narrow-only under">Mach {mach}</span>
      </td>
      <td class="figures wide-only">{mach}</td>
      <td class="figures wide-only">{parts(row.targetVelocityMps, row.targetVelocityStandardUncertaintyMps, 'velocity').value}</td>
      <td class="figures wide-only">{parts(row.dragCoefficient, row.dragCoefficientStandardUncertainty, 'number').value}</td>
      <td class="figures">
        {parts(row.reservoirPressurePa, null, 'pressure').value}
        <span class="narrow-only under">
          <Said row={row} />
        </span>
      </td>
      <td class="figures wide-only">{parts(row.barrelPressurePa, null, 'vacuum').value}</td>
      <td class="wide-only said-cell">
        <Said row={row} />
      </td>
    </tr>
  );
}

function Said({ row: { flags, notes, excluded, excludedBecause, excludedBy } }: { readonly row: ShotTableRow }) {
  return (
    <>
      {excluded && (
        <span class="said-line">
          <strong>Left out</strong>: {excludedBecause} ({excludedBy})
        </span>
      )}
      {flags.length > 0 && <span class="said-line">⚑ {flags.map((flag) => flagText(flag).title).join(', ')}</span>}
      {notes.length > 0 && <span class="said-line">✎ {notes.join(' · ')}</span>}
    </>
  );
}
