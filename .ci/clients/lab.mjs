// Works a notebook in JupyterLab in headless Chromium the way a person would: opens it, runs all cells, looks for the figure, completes a name, asks
// for documentation, mistakes a dimension, changes what other cells used, interrupts an endless loop, restarts the kernel and runs once more.
//
//   node lab.mjs --notebook FILE --kernel NAME --shots DIR      (jupyter-lab on the PATH, playwright-core in NODE_PATH, Chromium installed)
import path from 'node:path'
import { parseArgs } from 'node:util'
import { cells, check, command, idle, inLab, limit, runAll } from './session.mjs'

const { values: arg } = parseArgs({ options: { notebook: { type: 'string' }, kernel: { type: 'string', default: 'foreplane' }, shots: { type: 'string', default: '.' } } })

async function appendCell (page, source) {
  await page.evaluate(source => {
    const nb = window.jupyterapp.shell.currentWidget.content
    nb.model.sharedModel.addCell({ cell_type: 'code', source })
    nb.activeCellIndex = nb.widgets.length - 1
  }, source)
  await page.locator('.jp-Notebook-cell .cm-content').last().click()
  await page.keyboard.press('Control+End')
}

// runLast runs the last cell and returns it.
async function runLast (page) {
  await command(page, 'notebook:run-cell')
  await idle(page)
  await page.waitForTimeout(200)
  return (await cells(page)).at(-1)
}

async function deleteCells (page, n) {
  for (let i = 0; i < n; i++) {
    await page.evaluate(() => { const nb = window.jupyterapp.shell.currentWidget.content; nb.activeCellIndex = nb.widgets.length - 1 })
    await command(page, 'notebook:delete-cell')
  }
}

async function help (page) {
  await appendCell(page, '')
  await page.keyboard.type('atmos.Standard')
  await command(page, 'tooltip:launch-notebook')
  await page.locator('.jp-Tooltip').waitFor({ timeout: limit })
  await page.waitForTimeout(1500)
  const shown = await page.locator('.jp-Tooltip').innerText()
  check('documentation shows on request', shown.includes('geopotential'), JSON.stringify(shown.slice(0, 80)))
  check('with its equations set', await page.locator('.jp-Tooltip mjx-container, .jp-Tooltip .katex').count() > 0)
  await page.screenshot({ path: path.join(arg.shots, 'lab-help.png') })
  await page.keyboard.press('Escape')
  await deleteCells(page, 1)
}

async function dimension (page) {
  await appendCell(page, 'speed := 95 * Knot\nheight := 6500 * Foot\nspeed + height')
  const cell = await runLast(page)
  check('a mistaken dimension is an error', cell.outputs.some(o => o.error?.startsWith('Dimension')), JSON.stringify(cell.outputs.map(o => o.error)))
  await page.locator('.jp-OutputArea-output').last().scrollIntoViewIfNeeded()
  await page.screenshot({ path: path.join(arg.shots, 'lab-dimension.png') })
  await deleteCells(page, 1)
}

async function stale (page) {
  await appendCell(page, 'chord := 1.2 * Metre')
  await runLast(page)
  await appendCell(page, 'chord * chord')
  await runLast(page)
  await page.evaluate(() => {
    const nb = window.jupyterapp.shell.currentWidget.content
    nb.activeCellIndex = nb.widgets.length - 2
    nb.activeCell.model.sharedModel.setSource('chord := 1.5 * Metre')
  })
  await runLast(page)
  const changed = (await cells(page)).at(-2)
  check('cells out of date are named', changed.outputs.some(o => String(o.text).startsWith('Out of date')), JSON.stringify(changed.outputs.map(o => o.text)))
  await appendCell(page, 'rerunStale()')
  const again = await runLast(page)
  check('and run again on request', again.outputs.some(o => String(o.text).includes('2.25')), JSON.stringify(again.outputs.map(o => o.text)))
  await page.screenshot({ path: path.join(arg.shots, 'lab-stale.png') })
  await deleteCells(page, 3)
}

// student loads an aeroplane, trims it, moves the CG and sees the order of stalls change.
async function student (page) {
  const steps = [
    ['loads and trims', 'pupil := aircraft.Sedge()\nslow := must(trim.At(0, 70*Knot))\nreport.Trim(must(trim.Solve(pupil, slow)))', /foreplane/],
    ['sees which surface stalls first', 'asIs := must(trim.FindSequence(pupil, slow, trim.StallSettings{}))\nreport.Stalls(asIs)', /foreplane first/],
    ['moves the CG', 'pupil.CG = 3.62 * Metre\nmoved := must(trim.FindSequence(pupil, slow, trim.StallSettings{}))\nreport.Stalls(asIs, moved)', /too close to call|wing first/],
    ['plots', 'figure.StallSpeeds(asIs, moved)', /Stall speed over the CG/]
  ]
  for (const [name, source, want] of steps) {
    await appendCell(page, source)
    const cell = await runLast(page)
    check(`a student ${name}`, cell.outputs.some(o => want.test(String(o.text))), JSON.stringify(cell.outputs.map(o => o.error ?? String(o.text).slice(0, 60))))
  }
  await page.waitForTimeout(500)
  await page.locator('.jp-OutputArea-output').last().scrollIntoViewIfNeeded()
  await page.screenshot({ path: path.join(arg.shots, 'lab-student.png') })
  await deleteCells(page, steps.length)
}

async function work (page) {
  const code = await runAll(page, 'run all')
  check('a figure is shown', code.some(c => c.outputs.some(o => o.mime.some(m => m.startsWith('image/')))))
  await page.waitForTimeout(500)
  const figure = page.locator('.jp-OutputArea-output svg, .jp-OutputArea-output img').first()
  await figure.scrollIntoViewIfNeeded()
  const box = await figure.boundingBox()
  check('the figure has a size', box && box.width > 200 && box.height > 100, JSON.stringify(box))
  await page.screenshot({ path: path.join(arg.shots, 'lab-figure.png') })

  await appendCell(page, '')
  await page.keyboard.type('strings.HasPre')
  await page.keyboard.press('Tab')
  await page.waitForTimeout(1500)
  await page.screenshot({ path: path.join(arg.shots, 'lab-complete.png') })
  if (await page.locator('.jp-Completer:visible').count()) await page.keyboard.press('Enter')
  const typed = (await cells(page)).at(-1).source
  check('Tab completes a name', typed.includes('strings.HasPrefix'), JSON.stringify(typed))
  await command(page, 'notebook:delete-cell')

  await help(page)
  await dimension(page)
  await stale(page)
  await student(page)

  await appendCell(page, 'for {\n}')
  await page.evaluate(() => { window.jupyterapp.commands.execute('notebook:run-cell') }) // not awaited: it ends with the cell
  await page.waitForFunction(() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.status === 'busy', null, { timeout: limit })
  const t = Date.now()
  await command(page, 'notebook:interrupt-kernel')
  await idle(page)
  const last = (await cells(page)).at(-1)
  check('an endless loop is interrupted', last.outputs.some(o => o.type === 'error'), `${Date.now() - t} ms, ${last.outputs.map(o => o.error)}`)
  await page.screenshot({ path: path.join(arg.shots, 'lab-interrupt.png') })
  await command(page, 'notebook:delete-cell')

  const info = await page.evaluate(async () => {
    const { kernel } = window.jupyterapp.shell.currentWidget.sessionContext.session
    await kernel.restart()
    return (await kernel.requestKernelInfo()).content.status
  })
  check('the kernel restarts', info === 'ok')
  await runAll(page, 'after the restart')
}

await inLab(arg, 'lab', work)
