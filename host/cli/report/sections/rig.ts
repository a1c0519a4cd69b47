/** The rig as its file states it, with uncertainties and calibration dates. */
import type { Shot } from '../../../../protocol/index.ts';
import { type DisplaySystem, formatValue, formatWithUncertainty, NO_VALUE, type QuantityKind } from '../../../units/index.ts';
import type { ReportFacts } from '../gather.ts';
import { type Html, html, table } from '../html.ts';

export function rigSection({ rig, journal, shots }: ReportFacts, system: DisplaySystem): Html {
  const whole = journal?.rigFile?.rig;
  const known = (
    { value, standardUncertainty }: { readonly value: number; readonly standardUncertainty: number },
    kind: QuantityKind,
  ): string => formatWithUncertainty(value, 2 * standardUncertainty, kind, system);
  const facts: readonly (readonly [string, string])[] = [
    ['Projectile', rig.projectile.name],
    ['Diameter', whole ? known(whole.projectile.diameterM, 'smallLength') : formatValue(rig.projectile.diameterM, 'smallLength', system)],
    ['Mass', whole ? known(whole.projectile.massKg, 'mass') : formatValue(rig.projectile.massKg, 'mass', system)],
    [
      'Barrel',
      `${formatValue(rig.barrelLengthM, 'length', system)} long${whole ? `, bore ${formatValue(whole.barrel.boreM, 'smallLength', system)}` : ''}`,
    ],
    [
      'Reservoir',
      `rated ${formatValue(rig.reservoirRatedPaGauge, 'pressure', system)} gauge${whole ? `, ${(1000 * whole.reservoir.volumeM3).toPrecision(3)} L of ${whole.reservoir.gas}, at most ${formatValue(whole.reservoir.maximumFillPaGauge, 'pressure', system)} gauge` : ''}`,
    ],
    ['Target', whole ? known(whole.targetPositionM, 'length') : formatValue(rig.targetPositionM, 'length', system)],
  ];
  const gates = rig.gates.map(({ name, pair, board, input, positionM }) => {
    const gate = whole?.gates.find((each) => each.name === name);
    return [
      name,
      pair,
      `${board}, input ${input}`,
      gate ? known(gate.positionM, 'length') : formatValue(positionM, 'length', system),
      gate ? known(gate.delayS, 'time') : NO_VALUE,
    ];
  });
  return html`<section><h2>Rig</h2>
<dl class="facts">${facts.map(([name, text]) => html`<dt>${name}</dt><dd>${text}</dd>`)}</dl>
${table(['Gate', 'Pair', 'Board', 'From the muzzle datum', 'Delay'], gates, 'Gates; ± is expanded, k = 2')}
${calibrationTable(rig.channels, shots)}
${journal && journal.rigFiles > 1 ? html`<p>The session had ${journal.rigFiles} rig files; the one of its last shots is shown. Each shot was reduced under the file that held when it was fired.</p>` : undefined}
</section>`;
}

function calibrationTable(channels: ReportFacts['rig']['channels'], shots: readonly Shot[]): Html {
  const overdue = new Set(shots.flatMap(({ calibrationOverdue }) => calibrationOverdue ?? []));
  const rows = channels.map(({ name, board, unit, expandedUncertaintySi, calibratedOn, calibrationDue }) => [
    name,
    board,
    `± ${Number(expandedUncertaintySi.toPrecision(2))}${unit === '1' ? '' : ` ${unit}`}`,
    calibratedOn ?? 'not stated',
    `${calibrationDue ?? 'not stated'}${overdue.has(name) ? ' (past, at a shot of this session)' : ''}`,
  ]);
  return rows.length === 0
    ? html`<p>No channel.</p>`
    : table(['Channel', 'Board', 'Stated, k = 2', 'Calibrated on', 'Due'], rows, 'Instruments and their calibration');
}
