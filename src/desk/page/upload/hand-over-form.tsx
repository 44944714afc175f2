import { useState } from 'react'
import type { NewUpload } from '../../contract.ts'
import { bytesText, count } from '../logic/amounts.ts'
import type { PlannedPacket } from '../logic/dropped.ts'
import { ActForm, Choice, TextField } from '../parts/form-parts.tsx'
import { useWho } from '../parts/session-context.ts'

interface Props {
  packets: readonly PlannedPacket<File>[]
  begin: (packets: { packet: PlannedPacket<File>; wanted: NewUpload }[]) => void
}

/** What is handed over, for which job, by whom. */
export function HandOverForm({ packets, begin }: Props) {
  const { shop: ownShop, rulebooks } = useWho()
  const [names, setNames] = useState(packets.map(({ name }) => name))
  const [about, setAbout] = useState({ shop: '', job: '', claim: '', from: '', rulebook: rulebooks[0] ?? '' })
  const [acceptIncomplete, setAccept] = useState(false)
  const isOne = packets.length === 1
  const submit = () => {
    const said = Object.fromEntries(Object.entries(about).filter(([, value]) => value.trim() !== ''))
    begin(
      packets.map((packet, at) => ({
        packet,
        wanted: {
          name: names[at]?.trim() || packet.name,
          form: packet.form,
          ...said,
          ...(acceptIncomplete ? { acceptIncomplete } : {}),
        },
      })),
    )
  }
  const field = (key: 'shop' | 'job' | 'claim' | 'from', label: string, hint?: string) => (
    <TextField
      label={label}
      value={about[key]}
      {...(hint === undefined ? {} : { hint })}
      change={(value) => setAbout({ ...about, [key]: value })}
    />
  )
  return (
    <ActForm
      words={isOne ? 'Hand it over' : `Hand over ${packets.length} packets`}
      submit={submit}
      isPending={false}
      error={null}
    >
      <fieldset>
        <legend>{isOne ? 'The packet' : 'The packets: each folder and each zip is one'}</legend>
        {packets.map((packet, at) => (
          <label key={packet.name}>
            <span>
              Name{' '}
              <span className="quiet">
                {packet.form === 'folder' ? `folder, ${count(packet.files.length, 'file')}` : 'one file'},{' '}
                {bytesText(packet.files.reduce((sum, { file }) => sum + file.size, 0))}
              </span>
            </span>
            <input
              value={names[at] ?? ''}
              required
              onChange={({ target }) => setNames(names.map((name, other) => (other === at ? target.value : name)))}
            />
          </label>
        ))}
      </fieldset>
      <div className="field-grid">
        {ownShop === null ? field('shop', 'Shop') : null}
        {isOne ? field('job', 'Job', 'The same job again is kept as its next submission.') : null}
        {isOne ? field('claim', 'Claim') : null}
        {field('from', 'Handed over by')}
        <Choice
          label="Weighed by the rulebook"
          value={about.rulebook}
          choices={rulebooks.map((name) => ({ value: name, words: name }))}
          change={(rulebook) => setAbout({ ...about, rulebook })}
        />
      </div>
      <label className="tick">
        <input type="checkbox" checked={acceptIncomplete} onChange={({ target }) => setAccept(target.checked)} />
        Keep it even if some of what stands in it cannot be kept; what is lacking is noted
      </label>
    </ActForm>
  )
}
