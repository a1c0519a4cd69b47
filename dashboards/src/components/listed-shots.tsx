/** The shots that are asked for, a page of them at a time: ten thousand rows at once would make every press slow. */
import { listed, question } from '../state/shot-list.ts';
import { fetchRows, rows, rowsState } from '../state/shot-rows.ts';
import { ROWS_PER_PAGE } from '../text/listed-shots.ts';
import { sentence } from '../text/sentence.ts';
import { ListPages } from './list-pages.tsx';
import { ListedTable } from './listed-table.tsx';

export function ListedShots() {
  const found = listed.value;
  const { chosen } = question.value;
  const pages = Math.max(1, Math.ceil(found.length / ROWS_PER_PAGE));
  const page = Math.min(question.value.page, pages);
  const first = (page - 1) * ROWS_PER_PAGE;
  const here = found.slice(first, first + ROWS_PER_PAGE);
  return (
    <>
      <RowsNotice />
      <div class="list-head">
        <p role="status" class="figures">
          {found.length === rows.value.length ? `${found.length} shots` : `${found.length} of ${rows.value.length} shots`}
          {pages > 1 && `, ${first + 1} to ${first + here.length} shown`}
        </p>
        <ListPages page={page} pages={pages} />
        <a class="button" href="#chosen">
          {chosen.length === 0 ? 'None chosen' : `${chosen.length} chosen: look`}
        </a>
      </div>
      {here.length > 0 ? <ListedTable rows={here} /> : <p class="empty">{emptyText()}</p>}
      {pages > 1 && here.length > 20 && <ListPages page={page} pages={pages} />}
    </>
  );
}

function RowsNotice() {
  const now = rowsState.value;
  if (now.state === 'failed') {
    return (
      <p class="notice">
        The stored shots could not be had: {sentence(now.why)}{' '}
        <button type="button" onClick={() => void fetchRows()}>
          Try again
        </button>
      </p>
    );
  }
  return now.state === 'none' ? (
    <p class="notice">This host keeps no store, as a replay: the shots of this session alone are listed.</p>
  ) : null;
}

function emptyText(): string {
  if (rowsState.value.state === 'waiting') return 'Fetching…';
  return rows.value.length === 0 ? 'No shot yet.' : 'No shot is as the filters ask.';
}
