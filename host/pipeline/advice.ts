import type { BudgetLine } from '../../protocol/index.ts';

/** What helps against each kind of input, by how its name begins or ends. */
const REMEDIES: readonly (readonly [pattern: RegExp, remedy: string])[] = [
  [/^gate .* position$/, 'measure the place of that beam better, or set the gates of a pair further apart'],
  [/^gate .* delay$/, 'measure the delay of its detector against the other gates, or use detectors of one kind'],
  [/^gate .* beam angle$/, 'set that beam square to the flight line, or the launcher on it'],
  [/^scale of the tape$/, 'measure the gates’ places with a better tape'],
  [/^gate .* stamp (delay|jitter)$/, 'have the board stamp that gate by its capture hardware, and state what its stamps are good for'],
  [/^gate .* edge jitter$/, 'use a faster detector or a narrower beam, or set the gates of a pair further apart'],
  [/^gate .* tick quantisation$/, 'use a board with a faster clock'],
  [/^gate .* disturbed edges$/, 'shield that gate from fragments, blast and flicker'],
  [/^gate .* chord/, 'find out why one of its edges was missing'],
  [/^drag curve/, 'add a gate between the pairs, or nearer to the place asked for'],
  [/^board clock rate$/, 'let the clock exchange run for a few minutes before firing'],
  [/^board clock drift$/, 'keep the board out of sun and wind'],
  [/^disagreement of the gates/, 'find the gate that is off: its residual is the largest against its uncertainty'],
  [/^host clock rate$/, 'discipline the computer’s clock (NTP)'],
  [/^clock offset/, 'put all gates on one board'],
  [/^air temperature$/, 'use a better thermometer, in the shade and in the wind'],
  [/^air pressure$/, 'use a better barometer'],
  [/^air humidity$/, 'use a better hygrometer'],
  [/^wind/, 'measure the wind along the range, or fire in a calm'],
  [/^projectile mass$/, 'weigh each projectile'],
  [/^projectile diameter$/, 'measure each projectile'],
  [/^target position$/, 'measure the target’s place better'],
  [/formula$/, 'nothing: it is the published formula’s own'],
];

/** One sentence: the input with the largest share of the variance, and what helps against it. */
export function adviceOn(budget: readonly BudgetLine[]): string {
  const [first] = budget;
  if (!first) return 'Nothing uncertain enters.';
  const variance = budget.reduce((sum, line) => sum + line.contribution ** 2, 0);
  const share = Math.round((100 * first.contribution ** 2) / variance);
  const remedy = REMEDIES.find(([pattern]) => pattern.test(first.input))?.[1] ?? 'know it better';
  return `The largest part, ${share} % of the variance, is ${first.input}; what helps: ${remedy}.`;
}
