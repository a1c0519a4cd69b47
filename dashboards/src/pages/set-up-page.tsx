import { HearingPanel } from '../components/hearing-panel.tsx';
import { JoinPanel } from '../components/join-panel.tsx';

/** What is set once: who else looks on, and how this screen makes itself heard. */
export function SetUpPage() {
  return (
    <>
      <JoinPanel />
      <HearingPanel />
    </>
  );
}
