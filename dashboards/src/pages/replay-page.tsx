import { useEffect } from 'preact/hooks';
import { ReplayEvents } from '../components/replay-events.tsx';
import { ReplayPanel } from '../components/replay-panel.tsx';
import { ReplaySessions } from '../components/replay-sessions.tsx';
import { RigComparisonPanel } from '../components/rig-comparison.tsx';
import { ShotCard } from '../components/shot-card.tsx';
import { TracePanel } from '../components/trace-panel.tsx';
import { session } from '../state/live-state.ts';
import { replay } from '../state/replay.ts';
import { followMarks } from '../state/replay-marks.ts';
import { followReplayPlace } from '../state/replay-place.ts';

/** A recorded session, to be gone about in; on a live host, the sessions that there are to replay. */
export function ReplayPage() {
  useEffect(followMarks, []);
  useEffect(followReplayPlace, []);
  const state = replay.value;
  if (!session.value) return <Waiting />;
  if (!state) return <ReplaySessions />;
  return (
    <>
      <ReplayPanel state={state} />
      <ReplayEvents state={state} />
      <TracePanel />
      <ShotCard />
      <RigComparisonPanel />
    </>
  );
}

function Waiting() {
  return (
    <section class="panel" aria-labelledby="replay-waiting-title">
      <h2 id="replay-waiting-title">Replay</h2>
      <p class="empty">Waiting for the host to say what it shows…</p>
    </section>
  );
}
