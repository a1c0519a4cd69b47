/**
 * Aim and impact. All places are from the point that is to be hit. What a shot struck less where the sight pointed when
 * it was fired is its offset; the mean of the offsets, reversed, is where to point the sight so that the mean shot hits.
 */
import type { Impact, ImpactsEvent, SessionNs, TargetPoint } from '../../../protocol/index.ts';
import { coverageFactor, meanOf } from '../../metrology/index.ts';
import type { Aim, CrewState, FiredShot } from './state.ts';

/** Where nobody said how the sight points, it points at what is to be hit. */
const AT_THE_MARK: TargetPoint = { rightM: 0, upM: 0 };

/** The aim that was set when the shot was fired. */
export const aimOf = ({ aims }: CrewState, { firedAtNs }: FiredShot): Aim | undefined => aims.findLast((aim) => aim.atNs <= firedAtNs);

export function impactsEvent(state: CrewState, atNs: SessionNs): ImpactsEvent {
  const present = state.aims.at(-1);
  const placed = state.struck.flatMap(({ shotId, at }) => {
    const shot = state.shots.find(({ id }) => id === shotId);
    return shot ? [{ at, shot, aim: aimOf(state, shot) }] : [];
  });
  const series = placed.filter(({ shot, aim }) => !shot.excluded && aim === present);
  const offsets = series.map(({ at, aim }) => offsetFrom(aim?.at ?? AT_THE_MARK, at));
  return {
    type: 'impacts',
    atNs,
    impacts: placed.map(({ at, shot, aim }) => impactOf(at, shot, aim)),
    ...statistics(offsets),
    ...(present ? { aim: present.at } : {}),
  };
}

const offsetFrom = (aim: TargetPoint, at: TargetPoint): TargetPoint => ({ rightM: at.rightM - aim.rightM, upM: at.upM - aim.upM });

function impactOf(at: TargetPoint, { id, dropM, excluded }: FiredShot, aim: Aim | undefined): Impact {
  return {
    shotId: id,
    at,
    ...(aim ? { aim: aim.at } : {}),
    ...(dropM === undefined ? {} : { dropM }),
    ...(excluded ? { excluded: true as const } : {}),
  };
}

/** Source: JCGM 100:2008, 4.2.1 to 4.2.3, and G.3.2 for the interval */
function statistics(offsets: readonly TargetPoint[]): Pick<ImpactsEvent, 'mean' | 'spreadM' | 'holdNext'> {
  const [first] = offsets;
  if (!first) return {};
  if (offsets.length === 1) return { holdNext: reversed(first) };
  const [right, up] = [offsets.map(({ rightM }) => rightM), offsets.map(({ upM }) => upM)].map(meanOf) as [
    ReturnType<typeof meanOf>,
    ReturnType<typeof meanOf>,
  ];
  const measured = ({ value, standardUncertainty, degreesOfFreedom }: typeof right) => ({
    value,
    standardUncertainty,
    expandedUncertainty: coverageFactor(0.95, degreesOfFreedom) * standardUncertainty,
  });
  return {
    mean: { rightM: measured(right), upM: measured(up) },
    spreadM: { right: right.standardDeviation, up: up.standardDeviation },
    holdNext: reversed({ rightM: right.value, upM: up.value }),
  };
}

/** Without a negative zero. */
const reversed = ({ rightM, upM }: TargetPoint): TargetPoint => ({ rightM: 0 - rightM, upM: 0 - upM });
