import type { ComponentType } from 'preact';
import { CheckPanel } from './CheckPanel.tsx';
import { usePlace } from './context.ts';
import { late } from './late.ts';
import type { Messages } from './messages.ts';
import { modelMessages } from './modelMessages.ts';
import { NewExam } from './NewExam.tsx';
import { Panel } from './Panel.tsx';
import { part } from './Part.tsx';
import { recordsMessages } from './recordsMessages.ts';
import type { PanelName } from './room.ts';
import { roomMessages } from './roomMessages.ts';

interface Content {
  readonly title: (messages: Messages) => string;
  readonly Body: ComponentType;
}

/** What is in each panel. What no exam needs before it is opened is fetched then. */
const contents: Readonly<Record<Exclude<PanelName, 'none'>, Content>> = {
  help: {
    title: ({ text }) => text.help,
    Body: part(late(async () => (await import('./Help.tsx')).Help)),
  },
  settings: {
    title: ({ text }) => text.settings,
    Body: part(late(async () => (await import('./SettingsPanel.tsx')).SettingsPanel)),
  },
  new: { title: ({ text }) => text.newExam, Body: NewExam },
  check: { title: () => roomMessages.check.title, Body: CheckPanel },
  plan: {
    title: () => roomMessages.ownPlan.title,
    Body: part(late(async () => (await import('./PlanPanel.tsx')).PlanPanel)),
  },
  models: {
    title: () => modelMessages.title,
    Body: part(late(async () => (await import('./ModelPanel.tsx')).ModelPanel)),
  },
  records: {
    title: () => recordsMessages.title,
    Body: part(late(async () => (await import('./RecordsPanel.tsx')).RecordsPanel)),
  },
  compare: {
    title: () => recordsMessages.compareTitle,
    Body: part(late(async () => (await import('./RecordsCompare.tsx')).RecordsCompare)),
  },
  review: {
    title: () => recordsMessages.review,
    Body: part(late(async () => (await import('./ReviewPanel.tsx')).ReviewPanel)),
  },
};

/** The panel that lies over the exam. Its frame is there at once, and with it the focus. */
export function OpenPanel() {
  const { room, messages } = usePlace();
  const name = room.panel.value;
  if (name === 'none') return null;
  const { title, Body } = contents[name];
  return (
    <Panel key={name} title={title(messages)}>
      <Body />
    </Panel>
  );
}
