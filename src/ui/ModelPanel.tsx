import { useEffect } from 'preact/hooks';
import { usePlace } from './context.ts';
import { modelMessages as text } from './modelMessages.ts';
import type { ModelRow } from './models.ts';

/** The models: what each costs, adding, choosing and removing. */
export function ModelPanel() {
  const { models } = usePlace().room;
  useEffect(models.look, [models]);
  return (
    <>
      <p>{text.intro}</p>
      {models.rows.value.map((row) => (
        <ModelCard key={row.id} row={row} />
      ))}
    </>
  );
}

function ModelCard({ row }: { readonly row: ModelRow }) {
  const { room, messages } = usePlace();
  const { models } = room;
  const hears = models.chosen.value === row.id;
  const standing = row.bundled
    ? text.bundled
    : row.state.is === 'installed'
      ? text.installed
      : text.absent;
  return (
    <section class="model" aria-label={row.name}>
      <h3>
        {row.name} <span class="quiet">{hears ? `${standing}, ${text.hears}` : standing}</span>
      </h3>
      <p>
        {[
          row.language,
          messages.megabytes(row.bytes),
          text.needs(`${row.memoryMB} MB`),
          ...(row.hosts.length > 0 ? [text.from(row.hosts.join(', '))] : []),
        ].join(' · ')}
      </p>
      {row.measured.length === 0 ? (
        <p>{text.notMeasured}</p>
      ) : (
        <ul aria-label={text.measured}>
          {row.measured.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      <p class="quiet">
        {text.licence}: {row.licence}. {row.notice}
      </p>
      {row.unfit !== '' && <p>{row.unfit}</p>}
      {!row.hashed && row.state.is === 'absent' && <p>{text.unhashed}</p>}
      <State row={row} />
      <p role="alert">{row.fault}</p>
      <Buttons row={row} hears={hears} />
    </section>
  );
}

function State({ row }: { readonly row: ModelRow }) {
  const { megabytes } = usePlace().messages;
  const { state } = row;
  if (state.is === 'coming') {
    return (
      <label class="field">
        <span>{text.progress(megabytes(state.done), megabytes(row.bytes))}</span>
        <progress max={row.bytes} value={state.done} />
      </label>
    );
  }
  if (state.is === 'unconfirmed') {
    return (
      <>
        <p role="status">{text.compare}</p>
        <dl class="hashes">
          {state.hashes.map(({ path, sha256 }) => (
            <div key={path}>
              <dt>{path}</dt>
              <dd>
                <code>{sha256}</code>
              </dd>
            </div>
          ))}
        </dl>
      </>
    );
  }
  return null;
}

/** The first button stays the same one while a model comes, so that the focus stays on it. */
function Buttons({ row, hears }: { readonly row: ModelRow; readonly hears: boolean }) {
  const { room, messages } = usePlace();
  const { models } = room;
  const { megabytes } = messages;
  const { state, bytes } = row;
  const absent = state.is === 'absent' && row.unfit === '';
  return (
    <ul class="commands">
      {state.is === 'coming' ? (
        <Press key="first" row={row} label={text.stop} act={models.stop} />
      ) : absent ? (
        <Press
          key="first"
          row={row}
          label={
            state.kept > 0
              ? text.goOn(megabytes(Math.max(0, bytes - state.kept)))
              : text.add(megabytes(bytes))
          }
          act={models.add}
        />
      ) : state.is === 'installed' && !hears && row.unfit === '' ? (
        <Press key="first" row={row} label={text.use} act={models.choose} />
      ) : null}
      {absent && (
        <>
          <Choose label={text.files} row={row} />
          <Choose label={text.folder} row={row} folder />
        </>
      )}
      {state.is === 'unconfirmed' && (
        <>
          <Press row={row} label={text.confirm} act={models.confirm} />
          <Press row={row} label={text.discard} act={models.remove} />
        </>
      )}
      {state.is === 'absent' && state.kept > 0 && (
        <Press row={row} label={text.remove(megabytes(state.kept))} act={models.remove} />
      )}
      {state.is === 'installed' && !row.bundled && (
        <Press row={row} label={text.remove(megabytes(bytes))} act={models.remove} />
      )}
    </ul>
  );
}

function Press({
  row,
  label,
  act,
}: {
  readonly row: ModelRow;
  readonly label: string;
  readonly act: (id: string) => void;
}) {
  return (
    <li>
      <button type="button" onClick={() => act(row.id)}>
        {label} <Of row={row} />
      </button>
    </li>
  );
}

/** For who hears the button and does not see what it stands under. */
const Of = ({ row }: { readonly row: ModelRow }) => <span class="unseen">{row.name}</span>;

function Choose({
  label,
  row,
  folder = false,
}: {
  readonly label: string;
  readonly row: ModelRow;
  readonly folder?: boolean;
}) {
  const { models } = usePlace().room;
  return (
    <li>
      <label class="file button">
        <input
          type="file"
          multiple
          {...(folder ? { webkitdirectory: true } : {})}
          onChange={({ currentTarget }) => {
            models.addFrom(row.id, [...(currentTarget.files ?? [])]);
            currentTarget.value = '';
          }}
        />
        <span>
          {label} <Of row={row} />
        </span>
      </label>
    </li>
  );
}
