/** The two things that have to be read from across the range: HOLD or READY, and the newest shot's speed. */
import { connection } from '../state/connection.ts';
import { holdPoints } from '../state/crew.ts';
import { rig } from '../state/live-state.ts';
import { type Verdict as HoldVerdict, verdictOf } from '../text/hold-verdict.ts';
import { NewestShot } from './newest-shot.tsx';

export function Signs() {
  return (
    <div class="signs">
      <Verdict />
      <NewestShot />
      <SignsCaution />
    </div>
  );
}

/** HOLD or READY with what is missing; nothing where the rig file names no hold points. */
export function Verdict() {
  const named = rig.value?.holdPoints ?? [];
  const verdict = verdictOf({ told: holdPoints.value, namedCount: named.length, isHeard: connection.value === 'connected' });
  return verdict ? <VerdictSign verdict={verdict} longest={`Missing: ${named.map(({ name }) => name).join('; ')}.`} /> : null;
}

export function SignsCaution() {
  return (
    <p class="signs-caution">
      Neither is an interlock, nor proof that a vessel is empty or that the barrel is safe to approach. ± is the expanded uncertainty, 95 %,
      everywhere on this page.
    </p>
  );
}

interface VerdictSignProps {
  readonly verdict: HoldVerdict;
  /** Room is kept for so much: a tick moves nothing under the finger that makes the next one. */
  readonly longest: string;
}

function VerdictSign({ verdict, longest }: VerdictSignProps) {
  return (
    <div class={`verdict ${verdict.isReady ? 'is-ready' : 'is-hold'}`} role="status">
      <strong>{verdict.isReady ? 'READY' : 'HOLD'}</strong>
      <p data-longest={longest}>
        <span>{verdict.words}</span>
      </p>
    </div>
  );
}
