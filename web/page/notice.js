// Words over the page for what the program itself cannot say: it did not start, stopped, or the browser refuses something.
const box = document.getElementById('notice');
const opening = document.getElementById('opening');

/** Shows a message with choices, each a pair of label and action. */
export function notice(words, choices = [['Close', () => {}]]) {
  box.querySelector('p').textContent = words;
  box.querySelector('.choices').replaceChildren(...choices.map(([label, action]) => {
    const button = document.createElement('button');
    button.textContent = label;
    button.addEventListener('click', () => {
      closeNotice();
      action();
    });
    return button;
  }));
  box.hidden = false;
}

export function closeNotice() {
  box.hidden = true;
}

export function closeOpeningScreen() {
  opening.hidden = true;
}

/** The program cannot run here at all. */
export function cannotRun(words) {
  opening.querySelector('p').textContent = words;
  opening.setAttribute('role', 'alert');
}

export function speak(words) {
  document.getElementById('spoken').textContent = words;
}
