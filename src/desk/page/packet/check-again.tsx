import { useQueryClient } from '@tanstack/react-query'
import { useState } from 'react'
import type { JobView } from '../../contract.ts'
import { useNewCheck } from '../api/changes.ts'
import { noteJob } from '../api/events.ts'
import { ActForm, Choice } from '../parts/form-parts.tsx'
import { useWho } from '../parts/session-context.ts'

interface Props {
  accession: string
  /** The rulebook of the last report. */
  now: string | null
  done: () => void
}

/** Weighs the packet anew, perhaps by another rulebook. Reports that were made before stay kept. */
export function CheckAgain({ accession, now, done }: Props) {
  const { rulebooks } = useWho()
  const client = useQueryClient()
  const check = useNewCheck(accession)
  const [rulebook, setRulebook] = useState(rulebooks.find((name) => name === now) ?? rulebooks[0] ?? '')
  return (
    <ActForm
      words="Check it"
      isPending={check.isPending}
      error={check.error}
      submit={() =>
        check.mutate(
          { rulebook },
          {
            async onSuccess(response) {
              noteJob(client, (await response.json()) as JobView)
              done()
            },
          },
        )
      }
    >
      <p>The files are read and weighed as of today. Earlier reports stay as they are, in the archive.</p>
      <Choice
        label="By the rulebook"
        value={rulebook}
        choices={rulebooks.map((name) => ({ value: name, words: name === now ? `${name} (as now)` : name }))}
        change={setRulebook}
      />
    </ActForm>
  )
}
