import { type Entry, openEntries, type Side } from '../exam/index.ts';
import { valueText } from '../report/index.ts';
import { usePlace } from './context.ts';
import { type Cell, type Group, type Row, tableOf } from './table.ts';

/** The record, left beside right, with everything that was replaced still to be seen. */
export function RecordTable() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const { record } = room.dialogue.value;
  const groups = tableOf(record, messages.report);
  const open = openEntries(record).length;
  return (
    <section class="record" aria-labelledby="record-title">
      <h2 id="record-title">
        {text.record}
        {open > 0 && (
          <span class="badge">
            {messages.count(open)} {text.openCount}
          </span>
        )}
      </h2>
      {groups.length === 0 ? (
        <p class="quiet">{text.recordEmpty}</p>
      ) : (
        <table>
          <thead>
            <tr>
              <th scope="col">{text.item}</th>
              <th scope="col">{messages.sides.left}</th>
              <th scope="col">{messages.sides.right}</th>
            </tr>
          </thead>
          {groups.map((group) => (
            <GroupRows key={group.kind} group={group} />
          ))}
        </table>
      )}
    </section>
  );
}

function GroupRows({ group }: { readonly group: Group }) {
  const { messages } = usePlace();
  return (
    <tbody>
      <tr class="group">
        <th scope="rowgroup" colSpan={3}>
          {messages.kinds[group.kind]}
        </th>
      </tr>
      {group.rows.map((row) => (
        <RowCells key={row.key} row={row} />
      ))}
    </tbody>
  );
}

function RowCells({ row }: { readonly row: Row }) {
  const { acts, messages } = usePlace();
  const { text } = messages;
  const midline = row.cells.midline.now.length + row.cells.midline.before.length > 0;
  return (
    <tr class={row.unequal ? 'unequal' : ''}>
      <th scope="row">
        <button type="button" class="plain" onClick={() => acts.prompt(row.item)}>
          {row.name}
        </button>
        {row.unequal && <span class="closed">≠ {text.differs}</span>}
      </th>
      {row.single ? (
        <td colSpan={2}>
          <CellValue cell={row.cells.midline} side="midline" />
        </td>
      ) : (
        <>
          <td>
            <CellValue cell={row.cells.left} side="left" />
          </td>
          <td>
            <CellValue cell={row.cells.right} side="right" />
            {midline && <CellValue cell={row.cells.midline} side="midline" />}
          </td>
        </>
      )}
    </tr>
  );
}

function CellValue({ cell, side }: { readonly cell: Cell; readonly side: Side }) {
  const { messages } = usePlace();
  const { text } = messages;
  if (cell.now.length === 0 && cell.before.length === 0) {
    return (
      <span class="quiet">
        <span aria-hidden="true">–</span>
        <span class="unseen">{text.notExamined}</span>
      </span>
    );
  }
  return (
    <>
      {side === 'midline' && cell.now.length > 0 && (
        <span class="unseen">{messages.sides[side]} </span>
      )}
      {cell.now.map((entry) => (
        <div class={cell.abnormal ? 'value abnormal' : 'value'} key={entry.id}>
          <b>{valueText(entry.finding, messages.report)}</b>
          {cell.abnormal && <span class="unseen">, {text.abnormal}</span>}
          <StandingTag entry={entry} />
        </div>
      ))}
      {beforeOf(cell).map(({ is, values }) => (
        <div class="value-before" key={is}>
          {`${is === 'withdrawn' ? text.withdrawn : text.superseded} `}
          <del>{values.map((entry) => valueText(entry.finding, messages.report)).join(', ')}</del>
        </div>
      ))}
    </>
  );
}

/**
 * What no longer stands, a line for what was replaced and one for what was taken back: the page may
 * grow with what is examined, not with how often.
 */
function beforeOf({ before }: Cell) {
  return (['superseded', 'withdrawn'] as const)
    .map((is) => ({ is, values: before.filter(({ standing }) => standing.is === is) }))
    .filter(({ values }) => values.length > 0);
}

function StandingTag({ entry }: { readonly entry: Entry }) {
  const { messages } = usePlace();
  const { text } = messages;
  if (entry.standing.is === 'open') return <span class="tag open">{text.open}</span>;
  if (entry.standing.is !== 'confirmed') return null;
  return (
    <span class="closed">{entry.standing.by === 'explicit' ? text.confirmed : text.goneBy}</span>
  );
}
