import { type ComparedItem, valueText } from '../report/index.ts';
import { usePlace } from './context.ts';
import { Drawing } from './Drawing.tsx';
import { dated } from './RecordsList.tsx';
import { RecordsTold } from './RecordsTold.tsx';
import type { Comparison } from './records.ts';
import { recordsMessages as text } from './recordsMessages.ts';

/** Exams of one label beside each other: what changed, every item, and its course over time. */
export function RecordsCompare() {
  const comparison = usePlace().room.records.comparison.value;
  return (
    <>
      <RecordsTold />
      {comparison !== undefined && <Compared comparison={comparison} />}
    </>
  );
}

function Compared({ comparison }: { readonly comparison: Comparison }) {
  const { label, columns, changes, items, plots } = comparison;
  return (
    <>
      {label !== '' && <p class="quiet">{label}</p>}
      {columns.length > 1 && (
        <section aria-labelledby="changes-title">
          <h3 id="changes-title">{text.changesTitle}</h3>
          {changes.length === 0 ? (
            <p>{text.unchanged}</p>
          ) : (
            <ul>
              {changes.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ul>
          )}
        </section>
      )}
      {plots.length > 0 && (
        <section aria-labelledby="over-time-title">
          <h3 id="over-time-title">{text.overTime}</h3>
          <div class="plots">
            {plots.map(({ name, markup }) => (
              <figure key={name} class="plot">
                <Drawing markup={markup} />
                <figcaption class="quiet">{name}</figcaption>
              </figure>
            ))}
          </div>
        </section>
      )}
      {columns.length > 1 && <Table columns={columns} items={items} />}
    </>
  );
}

function Table({ columns, items }: Pick<Comparison, 'columns' | 'items'>) {
  const { messages } = usePlace();
  return (
    <section
      class="compared"
      aria-label={text.compareTable}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keys (WCAG 2.1.1)
      tabIndex={0}
    >
      <table>
        <thead>
          <tr>
            <th scope="col">{text.item}</th>
            {columns.map(({ exam, startedAt }, i) => (
              <th scope="col" key={exam}>
                {startedAt === '' ? text.examColumn(i + 1) : dated(startedAt, messages.locale)}
              </th>
            ))}
            <th scope="col">{text.changeTitle}</th>
          </tr>
        </thead>
        <tbody>
          {items.map((item) => (
            <Item key={item.key} item={item} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Item({ item: { name, findings, change, key } }: { readonly item: ComparedItem }) {
  const { messages } = usePlace();
  return (
    <tr>
      <th scope="row">{name}</th>
      {findings.map((finding, i) => (
        <td key={`${key} ${i}`}>
          {finding === undefined ? (
            <span class="quiet">
              <span aria-hidden="true">–</span>
              <span class="unseen">{messages.text.notExamined}</span>
            </span>
          ) : (
            valueText(finding, messages.report)
          )}
        </td>
      ))}
      <td class={change === 'worse' ? 'worse' : ''}>{text.change_[change]}</td>
    </tr>
  );
}
