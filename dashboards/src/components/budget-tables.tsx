/** Where each uncertainty comes from, term by term. In SI: sensitivities are only clear there. */
import type { BudgetLine, Result, Shot } from '../../../protocol/index.ts';

/** Terms below so small a part of the standard uncertainty share a line: at most 0.1 % of the variance each. */
const SMALL = 0.0316;

export function BudgetTables({ shot }: { readonly shot: Shot }) {
  const results: readonly (readonly [string, Result | undefined])[] = [
    ['Muzzle velocity', shot.muzzleVelocityMps],
    ['Target velocity', shot.targetVelocityMps],
    ...shot.pairs.map((pair) => [`Pair ${pair.name} velocity`, pair.velocityMps] as const),
    ['Speed lost', shot.velocityLostMps],
    ['Mach', shot.mach],
    ['Time of flight', shot.flightTimeS],
    ['Drop at the target', shot.targetDropM],
    ['Drag coefficient', shot.dragCoefficient],
    ['Mach of the drag coefficient', shot.dragMach],
    ['Reynolds number of the drag coefficient', shot.dragReynolds],
    ['Energy at the muzzle', shot.muzzleEnergyJ],
    ['Energy at the target', shot.targetEnergyJ],
    ['Momentum at the muzzle', shot.muzzleMomentumNs],
    ['Momentum at the target', shot.targetMomentumNs],
    ['Speed of sound', shot.air.speedOfSoundMps],
    ['Density of the air', shot.air.densityKgM3],
  ];
  const there = results.flatMap(([name, result]) => (result && result.budget.length > 0 ? [{ name, result }] : []));
  if (there.length === 0) return null;
  return (
    <details class="budget">
      <summary>Uncertainty budgets, term by term (SI)</summary>
      <div class="budget-tables">
        {there.map(({ name, result }) => (
          <BudgetTable key={name} name={name} result={result} />
        ))}
      </div>
    </details>
  );
}

export function BudgetTable({ name, result }: { readonly name: string; readonly result: Result }) {
  const unit = result.unit === '1' ? '' : ` ${result.unit}`;
  const isLarge = (line: BudgetLine) => line.contribution >= SMALL * result.standardUncertainty;
  const large = result.budget.filter(isLarge);
  const small = result.budget.filter((line) => !isLarge(line));
  return (
    // A wide table scrolls in its own box; the box takes the focus so that the keyboard can scroll it.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="scrolling" tabIndex={0} aria-label={`Budget of ${name}`}>
      <table>
        <caption>
          {name}: u = {significant(result.standardUncertainty, 2)}
          {unit}, U = {significant(result.expandedUncertainty, 2)}
          {unit} (95 %, k = {result.coverageFactor.toFixed(2)})
        </caption>
        <thead>
          <tr>
            <th scope="col">Term</th>
            <th scope="col">Value</th>
            <th scope="col">u (k = 1)</th>
            <th scope="col">Sensitivity</th>
            <th scope="col">Contribution{unit}</th>
            <th scope="col">Share</th>
          </tr>
        </thead>
        <tbody>
          {large.map((line) => (
            <tr key={line.input}>
              <th scope="row">{line.input}</th>
              <td class="figures">
                {significant(line.value, 6)} {line.unit === '1' ? '' : line.unit}
              </td>
              <td class="figures">{significant(line.standardUncertainty, 2)}</td>
              <td class="figures">{significant(line.sensitivity, 3)}</td>
              <td class="figures">{significant(line.contribution, 2)}</td>
              <td class="figures">{share(line.contribution, result.standardUncertainty)}</td>
            </tr>
          ))}
          {small.length > 0 && (
            <tr>
              <th scope="row" colSpan={4}>
                {small.length} smaller terms together
              </th>
              <td class="figures">{significant(Math.hypot(...small.map((line) => line.contribution)), 2)}</td>
              <td class="figures">{share(Math.hypot(...small.map((line) => line.contribution)), result.standardUncertainty)}</td>
            </tr>
          )}
        </tbody>
      </table>
      <p>{result.advice}</p>
    </section>
  );
}

function significant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return '–';
  const size = Math.abs(value);
  return size !== 0 && (size < 1e-3 || size >= 1e6) ? value.toExponential(digits - 1) : String(Number(value.toPrecision(digits)));
}

/** Of the variance: the terms are independent, so their shares add up to 100 %. */
function share(contribution: number, standardUncertainty: number): string {
  return standardUncertainty > 0 ? `${((contribution / standardUncertainty) ** 2 * 100).toFixed(1)} %` : '–';
}
