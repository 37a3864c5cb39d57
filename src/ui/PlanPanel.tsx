import { itemName, ownPlanId, type PlanItem, planItemId, planItems } from '../exam/index.ts';
import { usePlace } from './context.ts';
import { roomMessages } from './roomMessages.ts';
import { bedsideOrder } from './table.ts';

const text = roomMessages.ownPlan;

/** What the examiner's own plan asks for, chosen from the vocabulary group by group. */
export function PlanPanel() {
  const { room, acts, messages } = usePlace();
  const { own } = room.settings.value;
  const set = (id: string, wanted: boolean): void => {
    const others = own.filter((one) => one !== id);
    room.settings.value = { ...room.settings.value, own: wanted ? [...others, id] : others };
  };
  return (
    <>
      <p>{text.intro}</p>
      <p role="status">{text.chosen(messages.count(own.length))}</p>
      <p>
        <button
          type="button"
          class="main"
          disabled={own.length === 0}
          onClick={() => {
            room.panel.value = 'none';
            acts.plan(ownPlanId(own));
          }}
        >
          Plan my own
        </button>
      </p>
      {groups.map(({ kind, modality, items }) => {
        const chosen = items.filter((item) => own.includes(planItemId(item))).length;
        const detail = modality === undefined ? '' : `, ${messages.names.modalities[modality]}`;
        return (
          <details key={`${kind}/${modality ?? ''}`}>
            <summary>
              {messages.kinds[kind]}
              {detail}
              {chosen > 0 && <span class="badge">{messages.count(chosen)}</span>}
            </summary>
            <ul class="own-items">
              {items.map((item) => (
                <li key={planItemId(item)}>
                  <label class="option">
                    <input
                      type="checkbox"
                      checked={own.includes(planItemId(item))}
                      onChange={({ currentTarget }) => set(planItemId(item), currentTarget.checked)}
                    />
                    <span>{itemName(item.kind, item.site, messages.names)}</span>
                  </label>
                </li>
              ))}
            </ul>
          </details>
        );
      })}
    </>
  );
}

interface Group extends Pick<PlanItem, 'kind' | 'modality'> {
  readonly items: readonly PlanItem[];
}

/** A group a kind, and of sensation one a modality. */
const groups: readonly Group[] = bedsideOrder.flatMap((kind): readonly Group[] => {
  const all = planItems.filter((item) => item.kind === kind);
  return [...new Set(all.map(({ modality }) => modality))].map((modality) => {
    const items = all.filter((item) => item.modality === modality);
    return modality === undefined ? { kind, items } : { kind, modality, items };
  });
});
