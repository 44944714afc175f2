import { type KeyboardEvent, type ReactNode, useLayoutEffect, useRef, useState } from 'react'
import type { Box } from '../../../index.ts'
import { actOf } from '../logic/keys.ts'
import { boundMarks, chooseScale, fitWidth, placeMark, type Size, scrollToSee, stepZoom } from '../logic/scale.ts'
import { Scroller } from '../parts/scroller.tsx'
import { useSingleKeys } from '../parts/single-keys.ts'
import { useRoom } from './use-room.ts'

interface StageView {
  /** Pixels a unit. */
  scale: number
  /** The heights between which the page can be seen, in units. */
  from: number
  to: number
}

interface Props {
  size: Size
  /** The top left corner of what is shown, in the units of the marks. */
  origin?: readonly [number, number]
  unit: 'pt' | 'px'
  marks: readonly Box[]
  label: string
  children: (view: StageView) => ReactNode
}

const nowhere = [0, 0] as const

/** A page with marks over it, scrolled to them, that can be made larger and smaller. */
export function PageStage({ size, origin = nowhere, unit, marks, label, children }: Props) {
  const scroller = useRef<HTMLDivElement>(null)
  const room = useRoom(scroller)
  const { singleKeys } = useSingleKeys()
  const [chosen, setChosen] = useState<number | null>(null)
  const [top, setTop] = useState(0)
  const isMeasured = room.width > 0
  const scale = chosen ?? chooseScale(size, room, marks, unit)
  const drawn = useRef(scale)
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolled to the marks when they or the page change, and not when somebody zooms.
  useLayoutEffect(() => {
    if (!isMeasured) return
    const all = boundMarks(marks)
    const target = all !== null && (all[3] - all[1]) * scale > room.height * 0.8 ? marks[0] : all
    scroller.current?.scrollTo(target ? scrollToSee(placeMark(target, origin, scale), room) : { left: 0, top: 0 })
    drawn.current = scale
  }, [isMeasured, marks, size.width, size.height])
  useLayoutEffect(() => {
    const element = scroller.current
    const ratio = scale / drawn.current
    drawn.current = scale
    if (element === null || ratio === 1) return
    // What stood in the middle stays there.
    const { clientWidth: width, clientHeight: height } = element
    element.scrollLeft = (element.scrollLeft + width / 2) * ratio - width / 2
    element.scrollTop = (element.scrollTop + height / 2) * ratio - height / 2
  }, [scale])
  const zoom = (act: 'zoom-in' | 'zoom-out' | 'fit') =>
    setChosen(act === 'fit' ? fitWidth(size, room) : stepZoom(scale, act === 'zoom-in' ? 'in' : 'out'))
  const press = (event: KeyboardEvent) => {
    const act = actOf(event, 'elsewhere', singleKeys)
    if (act !== 'zoom-in' && act !== 'zoom-out' && act !== 'fit') return
    event.preventDefault()
    zoom(act)
  }
  const button = (act: 'zoom-in' | 'zoom-out' | 'fit', sign: string, words: string) => (
    <button type="button" aria-label={words} title={words} onClick={() => zoom(act)}>
      {sign}
    </button>
  )
  return (
    <div className="stage">
      <div className="stage-tools">
        {button('zoom-out', '−', 'Smaller')}
        <span className="quiet">{Math.round(scale * 100)} %</span>
        {button('zoom-in', '+', 'Larger')}
        {button('fit', '↔', 'Whole width')}
      </div>
      <Scroller
        ref={scroller}
        className="stage-scroll"
        label={label}
        onKeyDown={press}
        onScroll={({ currentTarget }) => setTop(currentTarget.scrollTop)}
      >
        <div className="sheet" style={{ width: size.width * scale, height: size.height * scale }}>
          {isMeasured ? children({ scale, from: top / scale, to: (top + room.height) / scale }) : null}
          {marks.map((box) => (
            <div key={box.join(' ')} className="mark" aria-hidden="true" style={placeMark(box, origin, scale)} />
          ))}
        </div>
      </Scroller>
    </div>
  )
}
