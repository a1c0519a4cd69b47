/** The head of the page, in the manner of a drawing's title block: what range, what rig, what session, what time. */
import { useState } from 'preact/hooks';
import { rig, session } from '../state/live-state.ts';
import { path } from '../state/place.ts';
import { theme, units } from '../state/preferences.ts';
import { ConnectionCell } from './connection-cell.tsx';
import { SectionNav } from './section-nav.tsx';
import { Segmented } from './segmented.tsx';
import { SessionClock } from './session-clock.tsx';
import { SoundSwitch } from './sound-switch.tsx';

const UNIT_OPTIONS = [
  { value: 'SI', label: 'SI' },
  { value: 'US', label: 'US' },
] as const;
const THEME_OPTIONS = [
  { value: 'auto', label: 'Auto' },
  { value: 'light', label: 'Sun' },
  { value: 'dark', label: 'Dark' },
] as const;

/** Where the page is narrow, all but the name and the line to the host is folded away: HOLD comes first there. */
export function TitleBlock() {
  const [isOpen, setOpen] = useState(false);
  const drawn = rig.value;
  return (
    <header class="title-block">
      <h1>
        Postern <small>{drawn ? `${drawn.site} · ${drawn.name}` : 'waiting for the host'}</small>
      </h1>
      <ConnectionCell />
      <button type="button" class="menu-button" aria-expanded={isOpen} aria-controls="menu" onClick={() => setOpen(!isOpen)}>
        Menu
      </button>
      <div id="menu" class={`menu ${isOpen ? 'is-open' : ''}`}>
        <dl class="cells">
          <div class="projectile-cell">
            <dt>Projectile</dt>
            <dd>{drawn?.projectile.name ?? '–'}</dd>
          </div>
          <div>
            <dt>Session</dt>
            <dd>{session.value?.sessionId ?? '–'}</dd>
          </div>
          <SessionClock />
        </dl>
        <div class="choices">
          <Segmented legend="Units" name="units" options={UNIT_OPTIONS} value={units.value} onChoose={(value) => (units.value = value)} />
          <Segmented legend="Theme" name="theme" options={THEME_OPTIONS} value={theme.value} onChoose={(value) => (theme.value = value)} />
          <SoundSwitch />
        </div>
        {path.value === '/' && <SectionNav onGo={() => setOpen(false)} />}
      </div>
    </header>
  );
}
