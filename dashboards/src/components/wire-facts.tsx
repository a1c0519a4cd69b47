import type { WireEvent } from '../../../protocol/index.ts';
import { faultTexts, faultWords } from '../text/link-words.ts';

/** What came over the line, and what did not. */
export function WireFacts({ wire }: { readonly wire: WireEvent }) {
  const { counters, lastFault } = wire;
  const faults = faultTexts(counters.faults);
  return (
    <>
      <div>
        <dt>Frames</dt>
        <dd>
          {counters.framesMissed} missed, {counters.framesRecovered} recovered, {counters.framesAwaited} awaited
          {counters.framesGone > 0 && <strong>, {counters.framesGone} gone for good</strong>}
        </dd>
      </div>
      <div>
        <dt>Edges</dt>
        <dd>
          {counters.edgesCaptured} captured, {counters.edgesHeld} held,{' '}
          {counters.edgesLost > 0 ? <strong class="loud">{counters.edgesLost} LOST</strong> : 'none lost'}
        </dd>
      </div>
      <div>
        <dt>Bad lines</dt>
        <dd>
          {faults.length === 0 ? 'none' : faults.join('; ')}
          {lastFault && (
            <span class="last-fault">
              last: {faultWords(lastFault.code)} at {lastFault.place}, found <code>{lastFault.found}</code>, expected {lastFault.expected}
            </span>
          )}
        </dd>
      </div>
    </>
  );
}
