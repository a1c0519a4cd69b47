/** `postern next`: which fill and vacuum would teach most about the map. A suggestion, and it says so. */
import { mapBook, type PlanWishes } from '../../analysis/next-shot/index.ts';
import { say, writeJson } from '../output.ts';
import type { ShotsAsked } from '../shots/shot-filters.ts';
import { askedSpanPa } from './asked-values.ts';
import { onlyKind } from './map.ts';
import { barrelText, fillText, suggestionLine, titleOf } from './map-lines.ts';
import { mapSources } from './map-sources.ts';

export interface NextOptions extends ShotsAsked {
  readonly json?: string | true;
  readonly fills?: string;
  readonly barrels?: string;
}

export async function next(options: NextOptions): Promise<void> {
  const { shots, sessions } = await mapSources(options);
  const first = mapBook(shots, sessions);
  const { ambientPressurePa } = onlyKind(first.report, 'The next shot');
  const wishes: PlanWishes = {
    reservoirPa: options.fills === undefined ? undefined : askedSpanPa('--fills', options.fills, ambientPressurePa, FILLS),
    barrelPa: options.barrels === undefined ? undefined : askedSpanPa('--barrels', options.barrels, ambientPressurePa, BARRELS),
  };
  const book = options.fills === undefined && options.barrels === undefined ? first : mapBook(shots, sessions, wishes);
  const kind = onlyKind(book.report, 'The next shot');
  const { region, suggestions } = kind;
  if (options.json !== undefined) {
    return writeJson(options.json, { rig: kind.rigName, projectile: kind.projectile, ambientPressurePa, region, suggestions });
  }
  say(titleOf(kind));
  say(
    `Over fills of ${fillText(region.reservoirPa[0])} to ${fillText(region.reservoirPa[1])} and barrels at ${barrelText(region.barrelPa[0])} to ${barrelText(region.barrelPa[1])}:`,
  );
  if (suggestions.length === 0) return say('There is no shot yet to begin from. Fire a gentle one first.');
  for (const [i, suggestion] of suggestions.entries()) say(suggestionLine(suggestion, i + 1, ambientPressurePa));
  say('These are suggestions, for what they would teach. Whether to fire is for the person in charge.');
}

const FILLS = '--fills "0.4 MPa gauge to 2 MPa gauge"';
const BARRELS = '--barrels "2 kPa absolute to 100 kPa absolute"';
