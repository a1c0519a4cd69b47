/** A replay on an address, as `postern replay` makes it, in this process. */

import { CloseStack } from '../../host/cli/close-stack.ts';
import { curvesOfReplay } from '../../host/cli/replay/curves-of-replay.ts';
import type { CorrectedRig } from '../../host/cli/replay/recorded-fold.ts';
import { RecordedShots } from '../../host/cli/replay/recorded-shots.ts';
import { PlayerDesk } from '../../host/cli/replay/replay-desk.ts';
import { ReplayPlayer } from '../../host/cli/replay/replay-player.ts';
import { compareRigs } from '../../host/cli/replay/rig-comparison.ts';
import { SessionReading } from '../../host/cli/replay/session-reading.ts';
import { shotsOfReplay } from '../../host/cli/replay/shots-of-replay.ts';
import { LiveFeed, newToken, startServer } from '../../host/serve/index.ts';

export async function startReplayHost(path: string, pagesDir: string, corrected?: CorrectedRig) {
  const recorded = new RecordedShots();
  const reading = new SessionReading(path, { corrected, onRecord: (record) => recorded.take(record), onWhole: () => recorded.finish() });
  while (reading.readFor(1_000));
  const feed = new LiveFeed({ mode: 'replay' });
  const player = new ReplayPlayer({ feed, reading, corrected, onEvent: () => undefined }, { speed: 1, playing: false });
  const comparison = () =>
    corrected &&
    compareRigs(
      reading.sessionId,
      { rigFile: recorded.rigFile, shots: recorded.all },
      { rigFile: corrected.fileName, shots: reading.shotsAt(reading.endNs) },
    );
  const token = newToken();
  const desk = new PlayerDesk(player, reading, comparison);
  const store = shotsOfReplay(reading, () => player.nowNs);
  const parts = new CloseStack();
  const server = await startServer({
    feed,
    replay: desk,
    store,
    ...curvesOfReplay(reading, () => player.nowNs, parts),
    port: 0,
    doors: { crewToken: token },
    pagesDir,
    nowNs: () => player.nowNs,
  });
  player.start();
  await player.seek(0);
  return {
    ...server,
    feed,
    player,
    reading,
    token,
    async close(): Promise<void> {
      await player.close();
      await server.close();
      await parts.close();
      reading.close();
    },
  };
}
