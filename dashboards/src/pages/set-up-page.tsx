import { CalibrationSteps } from '../components/calibration-steps.tsx';
import { ClientsPanel } from '../components/clients-panel.tsx';
import { HearingPanel } from '../components/hearing-panel.tsx';
import { JoinPanel } from '../components/join-panel.tsx';
import { RigFilePanel } from '../components/rig-file-panel.tsx';
import { TokensPanel } from '../components/tokens-panel.tsx';

/** What is done before the shooting: the rig file, the instruments, who looks on and by what key, and how this screen makes itself heard. */
export function SetUpPage() {
  return (
    <>
      <RigFilePanel />
      <CalibrationSteps />
      <JoinPanel />
      <ClientsPanel />
      <TokensPanel />
      <HearingPanel />
    </>
  );
}
