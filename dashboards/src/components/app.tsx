import { ActStatus } from './act-status.tsx';
import { AlarmStrip } from './alarm-strip.tsx';
import { AlarmVoice } from './alarm-voice.tsx';
import { Announcer } from './announcer.tsx';
import { Caution } from './caution.tsx';
import { LinkSigns } from './link-signs.tsx';
import { PageNav } from './page-nav.tsx';
import { PagePlace } from './page-place.tsx';
import { ReplayBar } from './replay-bar.tsx';
import { RigProblems } from './rig-problems.tsx';
import { TitleBlock } from './title-block.tsx';

/** What every page has, around the page. */
export function App() {
  return (
    <>
      <TitleBlock />
      <ReplayBar />
      <div class="below-head">
        <PageNav />
        <LinkSigns />
      </div>
      <AlarmStrip />
      <RigProblems />
      <PagePlace />
      <Caution />
      <ActStatus />
      <Announcer />
      <AlarmVoice />
    </>
  );
}
