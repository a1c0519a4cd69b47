/** Simulated shots as the store has them, and a desk that answers for their map. */
import { mapBook } from '../../../host/analysis/next-shot/index.ts';
import { summarise } from '../../../host/rig/index.ts';
import type { MapDesk } from '../../../host/serve/index.ts';
import type { MapSession, MapSource } from '../../../protocol/index.ts';
import { HERON_RIG } from '../heron.ts';
import { AMBIENT_PA, SimulatedWorld } from './simulated-shots.ts';

const RIG = summarise(HERON_RIG);
export const SESSIONS: readonly MapSession[] = [{ id: 'campaign', rig: RIG }];

/** Six fills, each pumped and at a third of the air's pressure; the newest first. @param change  of a shot's velocity, by its number from 1 */
export function campaignSources(seed: number, change: (number: number) => number = () => 1): readonly MapSource[] {
  const world = new SimulatedWorld({ seed });
  const points = [0.5e6, 0.8e6, 1.2e6, 1.8e6, 2.4e6, 3.2e6].flatMap((fillPa) => [4e3, 33e3].map((barrelPa) => [fillPa, barrelPa] as const));
  return points
    .map(([fillPa, barrelPa], i): MapSource => {
      const { firing, muzzleVelocityMps } = world.shoot(fillPa, barrelPa).shot;
      const number = String(i + 1).padStart(3, '0');
      return {
        id: `campaign-${number}`,
        sessionId: 'campaign',
        rigName: RIG.name,
        projectile: RIG.projectile.name,
        firedAt: `2031-05-04T10:${number.slice(1)}:00.000000Z`,
        flags: [],
        muzzleVelocityMps: { ...muzzleVelocityMps, value: change(i + 1) * muzzleVelocityMps.value },
        reservoirPressurePa: { value: firing.reservoirPressurePa, standardUncertainty: 7502 },
        barrelPressurePa: { value: firing.barrelPressurePa, standardUncertainty: 152 },
        reservoirTemperatureK: { value: firing.gasTemperatureK, standardUncertainty: 0.51 },
        air: {
          temperatureK: { value: firing.airTemperatureK, standardUncertainty: 0.5 },
          pressurePa: { value: AMBIENT_PA, standardUncertainty: 60 },
        },
      };
    })
    .toReversed();
}

/** Answers at once, without a thread. */
export function deskOf(shots: readonly MapSource[]): MapDesk {
  const book = mapBook(shots, SESSIONS);
  return {
    sources: async () => ({ shots, sessions: SESSIONS }),
    report: async () => book.report,
    expected: async (asked) => book.expected(asked),
    fillFor: async (asked) => book.fillFor(asked),
  };
}
