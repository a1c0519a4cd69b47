import { expectation } from '../state/expectation.ts';
import { units } from '../state/preferences.ts';
import { bandText } from '../text/map-text.ts';

/** Before the shot: what velocity this fill and vacuum give, by the map. Nothing where the host makes none. */
export function ExpectedVelocity() {
  const now = expectation.value;
  if (now.state === 'none') return null;
  return (
    <div class="expected">
      <h3>Velocity to expect</h3>
      {now.state === 'told' && now.answer.kind === 'expected' ? (
        <p>
          <strong class="figures">{bandText(now.answer.nextShot, units.value)}</strong>{' '}
          <span class="quiet">the next shot, 95 %, by the map of {now.answer.shots} shots</span>
        </p>
      ) : (
        <p class="quiet">{wordsFor(now)}</p>
      )}
    </div>
  );
}

function wordsFor(now: typeof expectation.value): string {
  switch (now.state) {
    case 'told':
      return now.answer.kind === 'refused' ? now.answer.message : '';
    case 'failed':
      return `The map could not be asked: ${now.why}.`;
    case 'asking':
      return 'Asking the map…';
    default:
      return 'Once a fill stands.';
  }
}
