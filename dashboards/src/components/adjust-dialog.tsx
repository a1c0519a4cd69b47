/** Setting a channel right, step by step: at one known state (zero) or at two (calibration). Nothing is sent before the last. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { ChannelSummary } from '../../../protocol/index.ts';
import type { AdjustAct, KnownPoint } from '../state/adjusting.ts';
import { adjusted } from '../state/crew.ts';
import { plainName } from '../text/channel-kind.ts';
import { AdjustPoint } from './adjust-point.tsx';
import { AdjustReview } from './adjust-review.tsx';

export interface AdjustDialogProps {
  readonly channel: ChannelSummary;
  readonly onDone: () => void;
}

const POINTS: Readonly<Record<AdjustAct, number>> = { zero: 1, calibrate: 2 };

export function AdjustDialog({ channel, onDone }: AdjustDialogProps) {
  const element = useRef<HTMLDialogElement>(null);
  const [act, setAct] = useState<AdjustAct>();
  const [points, setPoints] = useState<readonly KnownPoint[]>([]);
  useEffect(() => {
    element.current?.showModal();
  }, []);
  const close = () => element.current?.close();
  const needed = act ? POINTS[act] : 0;
  return (
    <dialog ref={element} class="steps" aria-labelledby="adjust-title" onClose={onDone}>
      <h2 id="adjust-title">Set right: {plainName(channel.name)}</h2>
      {!act && <Choice channel={channel} onChoose={setAct} />}
      {act && points.length < needed && (
        <AdjustPoint
          key={points.length}
          channel={channel}
          index={points.length}
          pointCount={needed}
          onTaken={(point) => setPoints([...points, point])}
        />
      )}
      {act && points.length === needed && (
        <AdjustReview channel={channel} act={act} points={points} onRecorded={close} onAgain={() => setPoints([])} />
      )}
      <button type="button" class="leave" onClick={close}>
        Leave without recording
      </button>
    </dialog>
  );
}

function Choice({ channel, onChoose }: { readonly channel: ChannelSummary; readonly onChoose: (act: AdjustAct) => void }) {
  const last = adjusted.value[channel.name];
  return (
    <>
      <p>
        {last
          ? `Last ${last.act === 'zero' ? 'set to zero' : 'calibrated'} by ${last.who} in this session.`
          : 'Not set right in this session: the rig file’s calibration is in force as it stands.'}
      </p>
      <p>What you do is recorded with your name, and with the numbers before and after. Samples that are past keep theirs.</p>
      <div class="choice">
        <button type="button" onClick={() => onChoose('zero')}>
          Zero
        </button>
        <p>One state that you know, such as open to the air. Moves every reading by the same amount.</p>
        <button type="button" onClick={() => onChoose('calibrate')}>
          Two points
        </button>
        <p>Two states that you know, well apart, against an instrument that you trust. Sets offset and gain.</p>
      </div>
    </>
  );
}
