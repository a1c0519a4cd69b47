/**
 * Which of a shot's inputs are its own, and which it has in common with others, so that a mean over shots does not make
 * them look better known than they are. In doubt an input is common: the band is then too wide rather than too narrow.
 */

/** Drawn anew for each shot. */
const OWN =
  /^(gate .* (edge jitter|stamp jitter|tick quantisation|disturbed edges|chord.*)|disagreement of the gates.*|board clock (rate|drift))$/;
/** Of the air's formulas: the same wherever there is air. */
const OF_NATURE = /formula$/;
/** Of the day: the wind that nobody measured, or measured with the same instrument in the same place. */
const OF_SESSION = /^wind/;
const OF_PROJECTILE = /^projectile /;

export interface InputOfShot {
  readonly input: string;
  readonly value: number;
  readonly standardUncertainty: number;
}

/**
 * By what name the input is the same quantity in other shots.
 * @returns undefined where it is the shot's own
 *
 * Places, delays and what a scale has weighed are the same quantity as long as the rig file states the same value; what an
 * instrument reads differs from shot to shot, while its calibration's error, which is what is uncertain, stays.
 */
export function sharedAs(
  { input, value }: InputOfShot,
  shot: { readonly sessionId: string; readonly rigName: string },
): string | undefined {
  if (OWN.test(input)) return undefined;
  if (OF_NATURE.test(input)) return input;
  if (OF_SESSION.test(input)) return `${input} | ${shot.sessionId}`;
  if (OF_PROJECTILE.test(input)) return `${input} | ${value}`;
  if (input.startsWith('gate ') || input.startsWith('clock offset')) return `${input} | ${shot.rigName} | ${value}`;
  return `${input} | ${shot.rigName}`;
}

/** As a person knows it: without what tells it from its namesakes. */
export const plainName = (key: string): string => key.split(' | ')[0] as string;
