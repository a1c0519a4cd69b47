import type { ShotCamera } from '../../../protocol/index.ts';
import { perform } from '../state/operator.ts';
import { ReasonForm } from './reason-form.tsx';

/** A track that does not count any more, or counts again. */
export function WithdrawTrack({ shotId, of: { camera, withdrawal } }: { readonly shotId: string; readonly of: ShotCamera }) {
  const withdrawn = withdrawal === undefined;
  const verb = withdrawn ? 'Withdraw track' : 'Take track in again';
  return (
    <ReasonForm
      key={`${shotId} ${withdrawn}`}
      why={`Why the track of camera ${camera} ${withdrawn ? 'does not count' : 'counts again'}`}
      verb={verb}
      onDo={(reason) => perform({ act: 'withdraw-track', shotId, camera, withdrawn, reason }, `${verb}, camera ${camera}`)}
    />
  );
}
