/** Map and drag for the page of a replay: of its session's shots up to the moment that it shows, as they come out in it. */
import type { SessionNs } from '../../../protocol/index.ts';
import type { DragDesk, MapDesk } from '../../serve/index.ts';
import type { CloseStack } from '../close-stack.ts';
import { SessionDragDesk } from '../drag/drag-desk.ts';
import { SessionMapDesk } from '../map/session-map-desk.ts';
import type { SessionReading } from './session-reading.ts';
import { shotsOfReplay } from './shots-of-replay.ts';

export function curvesOfReplay(
  reading: SessionReading,
  nowNs: () => SessionNs,
  parts: CloseStack,
): { readonly maps: MapDesk; readonly drags: DragDesk } {
  const { shots } = shotsOfReplay(reading, nowNs);
  const maps = new SessionMapDesk({
    mapShots: shots,
    sessions: () => Promise.resolve(reading.rig ? [{ id: reading.sessionId, rig: reading.rig }] : []),
  });
  parts.add(() => maps.close());
  const drags = new SessionDragDesk({ dragShots: shots });
  parts.add(() => drags.close());
  return { maps, drags };
}
