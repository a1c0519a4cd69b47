import 'uplot/dist/uPlot.min.css';
import './styles/index.css';
import { render } from 'preact';
import { App } from './components/app.tsx';
import { startSound } from './state/alarm-sound.ts';
import { startVoice } from './state/aloud.ts';
import { startAwake } from './state/awake.ts';
import { startConnection } from './state/connection.ts';
import { followExpectation } from './state/expectation.ts';
import { takeKeysFromAddress } from './state/keys.ts';
import { startAgeTicks } from './state/page-clock.ts';
import { followPlace } from './state/place.ts';
import { startPreferences } from './state/preferences.ts';
import { followComparison } from './state/replay.ts';
import { followAddress } from './state/shots.ts';
import { followSurprise } from './state/surprise.ts';

const page = document.getElementById('page');
if (!page) throw new Error('the page has no place to draw in');
// First of all: a key is not to stand in the address bar, nor be taken for the name of a section.
takeKeysFromAddress();
startPreferences();
startSound();
startVoice();
startAwake();
followPlace();
followAddress();
followComparison();
followExpectation();
followSurprise();
startAgeTicks();
render(<App />, page);
// The browser looked for the section before there was one.
if (location.hash.length > 1) document.getElementById(location.hash.slice(1))?.scrollIntoView();
startConnection();
