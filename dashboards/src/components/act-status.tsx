/** What came of the crew's newest act, where it is seen from anywhere on the page. */
import { useEffect } from 'preact/hooks';
import { refused } from '../state/crew.ts';
import { lastAct } from '../state/operator.ts';
import { sentence } from '../text/sentence.ts';

const ACCEPTED_SHOWN_MS = 4_000;

export function ActStatus() {
  const act = lastAct.value;
  const late = refused.value;
  useEffect(() => {
    if (act?.state !== 'accepted') return undefined;
    const timer = setTimeout(() => {
      if (lastAct.peek() === act) lastAct.value = undefined;
    }, ACCEPTED_SHOWN_MS);
    return () => clearTimeout(timer);
  }, [act]);
  const putAway = () => {
    lastAct.value = undefined;
    refused.value = undefined;
  };
  const isRefused = act?.state === 'refused' || late !== undefined;
  return (
    <div class={`act-status ${act || late ? 'is-shown' : ''} ${isRefused ? 'is-refused' : ''}`}>
      <p role="status">
        {act && (
          <>
            {act.state === 'refused' && <strong>Not recorded. </strong>}
            {act.text}{' '}
          </>
        )}
        {late && (
          <>
            <strong>Not carried out. </strong>
            {sentence(late.why)}
          </>
        )}
      </p>
      {isRefused && (
        <button type="button" onClick={putAway}>
          Put away
        </button>
      )}
    </div>
  );
}
