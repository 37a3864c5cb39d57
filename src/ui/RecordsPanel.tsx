import { usePlace } from './context.ts';
import { RecordsList } from './RecordsList.tsx';
import { ChoosePassphrase, OpenLock, Unlock } from './RecordsLock.tsx';
import { Bring, Packs, Sending, ThisExam } from './RecordsMore.tsx';
import { RecordsTold } from './RecordsTold.tsx';
import { recordsMessages as text } from './recordsMessages.ts';

/** The records on this device: their lock, the exams, and every way in and out. */
export function RecordsPanel() {
  const { records } = usePlace().room;
  const lock = records.lock.value;
  return (
    <>
      <RecordsTold />
      {lock === 'unusable' && <p>{text.inMemoryUnusable}</p>}
      {lock === 'none' && <ChoosePassphrase />}
      {lock === 'locked' && <Unlock />}
      {lock === 'open' && <RecordsList />}
      <ThisExam />
      <Packs />
      <Bring />
      <Sending />
      {lock === 'open' && <OpenLock />}
    </>
  );
}
