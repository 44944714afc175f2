import { keyTable } from '../logic/keys.ts'
import { Dialog } from '../parts/dialog.tsx'
import { useSingleKeys } from '../parts/single-keys.ts'

const names: Record<string, string> = { ArrowDown: '↓', ArrowUp: '↑', Escape: 'Esc' }

/** What the keys do; letters can be switched off for who speaks to the machine. */
export function KeysHelp({ close }: { close: () => void }) {
  const { singleKeys, setSingleKeys } = useSingleKeys()
  return (
    <Dialog title="Keys" close={close}>
      <dl className="keys">
        {keyTable.map(({ keys, words }) => (
          <div key={words}>
            <dt>
              {keys.map((key) => (
                <kbd key={key}>{names[key] ?? key}</kbd>
              ))}
            </dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      <label className="tick">
        <input type="checkbox" checked={singleKeys} onChange={({ target }) => setSingleKeys(target.checked)} />
        Letters and signs do something by themselves
      </label>
    </Dialog>
  )
}
