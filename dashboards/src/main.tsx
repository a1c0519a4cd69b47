import 'uplot/dist/uPlot.min.css';
import './styles/index.css';
import { render } from 'preact';
import { App } from './components/app.tsx';
import { startConnection } from './state/connection.ts';
import { startAgeTicks } from './state/page-clock.ts';
import { startPreferences } from './state/preferences.ts';
import { followAddress } from './state/shots.ts';

const page = document.getElementById('page');
if (!page) throw new Error('the page has no place to draw in');
startPreferences();
followAddress();
startAgeTicks();
render(<App />, page);
startConnection();
