// Live parts, commands with their answers, press-and-hold, a number pad, a sound. Pages are readable without this file.
(() => {
  'use strict';
  const body = document.body;
  const answer = document.getElementById('answer');
  const lost = document.getElementById('lost');
  const HOLD_MS = 1200;
  let seen = {start: '', units: {}};
  let pressed = false;
  const waiting = new Map();

  // ---- live parts: the server sends a part when what it shows has changed
  const typing = part => {
    const here = document.activeElement;
    return part.contains(here) && here.matches('input:not([type=hidden]), textarea, select');
  };
  // what a form names of the state changes with every cycle and is filled in when it is sent
  const bare = html => html.replace(/value="[^"]*" data-seen/g, 'data-seen');
  const same = (part, html) => {
    const fresh = document.createElement('template');
    fresh.innerHTML = html;
    return bare(fresh.innerHTML) === bare(part.innerHTML);
  };
  const put = (part, html) => {
    if (same(part, html)) return;
    const open = [...part.querySelectorAll('details')].map(d => d.open);
    const here = part.contains(document.activeElement) ? document.activeElement : null;
    const mark = here && [...part.querySelectorAll('a, button, summary')].indexOf(here);
    part.innerHTML = html;
    part.querySelectorAll('details').forEach((d, i) => { d.open = !!open[i]; });
    if (here && mark >= 0) {
      const again = part.querySelectorAll('a, button, summary')[mark];
      if (again) again.focus({preventScroll: true});
    }
    dress(part);
  };
  const flush = () => {
    if (pressed) return;
    for (const [name, html] of waiting) {
      const part = document.querySelector(`[data-part="${name}"]`);
      if (part && typing(part)) continue;
      waiting.delete(name);
      if (part) put(part, html);
    }
  };
  addEventListener('pointerdown', () => { pressed = true; }, true);
  for (const end of ['pointerup', 'pointercancel']) {
    addEventListener(end, () => setTimeout(() => { pressed = false; flush(); }, 0), true);
  }
  addEventListener('focusout', () => setTimeout(flush, 0));

  const query = new URLSearchParams({
    parts: body.dataset.parts, unit: body.dataset.unit, batch: body.dataset.batch || '',
    action: body.dataset.action || '', path: body.dataset.path,
  });
  let news = Date.now();
  const source = new EventSource('/live?' + query);
  source.onmessage = event => {
    const message = JSON.parse(event.data);
    news = Date.now();
    seen = message.seen;
    for (const [name, html] of Object.entries(message.parts)) waiting.set(name, html);
    flush();
    for (const name of ['clock', 'simulated']) {
      const place = document.querySelector(`[data-${name}]`);
      if (place.textContent !== message[name]) place.textContent = message[name];
    }
    connected(true);
    sound();
  };
  source.onerror = () => connected(false);
  setInterval(() => { if (Date.now() - news > 12000) connected(false); }, 1000);
  const connected = yes => {
    if (lost.hidden !== yes) {
      lost.textContent = yes ? '' : body.dataset.lost;
      if (!yes && wanted()) beep();
      lost.hidden = yes;
      body.classList.toggle('lost', !yes);
    }
  };
  addEventListener('pagehide', () => source.close());

  // ---- commands carry what this page showed when they were given
  const fill = form => {
    const unit = seen.units[form.dataset.for];
    const set = (key, value) => {
      const field = form.querySelector(`[data-seen="${key}"]`);
      if (field && value !== undefined && value !== '') field.value = value;
    };
    set('start', seen.start);
    if (unit) { set('cycle', unit.cycle); set('state', unit.state); }
  };
  let quiet;
  const say = (sentence, moved) => {
    answer.textContent = sentence;
    answer.classList.toggle('refused', !moved);
    clearTimeout(quiet);
    quiet = setTimeout(() => { answer.textContent = ''; }, moved ? 6000 : 15000);
  };
  const send = async (form, button) => {
    fill(form);
    const fields = new URLSearchParams(new FormData(form, button)); // a disabled button would not be in it
    const buttons = form.querySelectorAll('button');
    const where = form.getAttribute('action'); // a field named action would hide form.action
    const stop = where === '/do/stop';
    if (!stop) buttons.forEach(b => { b.disabled = true; });
    try {
      const reply = await fetch(where, {
        method: 'POST', body: fields, headers: {'X-Steamleaf-Page': '1'},
      });
      const type = reply.headers.get('Content-Type') || '';
      if (!type.includes('json')) {
        say(await reply.text(), false);
        return;
      }
      const told = await reply.json();
      if (told.next.length) {
        sessionStorage.setItem('said', told.sentence);
        location.assign(told.next[0]);
        return;
      }
      say(told.sentence, told.moved);
      if (told.moved) form.querySelectorAll('input[data-pad]').forEach(i => { i.value = ''; });
    } catch {
      connected(false);
      say(body.dataset.lost, false);
    } finally {
      buttons.forEach(b => { b.disabled = false; });
    }
  };
  addEventListener('submit', event => {
    const form = event.target;
    if (form.matches('[data-command]')) {
      event.preventDefault();
      send(form, event.submitter);
    }
  });
  const said = sessionStorage.getItem('said');
  if (said) {
    sessionStorage.removeItem('said');
    say(said, true);
  }

  // ---- press and hold, by finger or by key
  let holding = null;
  let timer = 0;
  const hold = button => {
    if (holding) return;
    holding = button;
    button.classList.add('holding');
    timer = setTimeout(() => {
      release();
      send(button.closest('form'));
    }, HOLD_MS);
  };
  const release = () => {
    clearTimeout(timer);
    if (holding) holding.classList.remove('holding');
    holding = null;
  };
  addEventListener('pointerdown', event => {
    const button = event.target.closest('[data-hold]');
    if (button) hold(button);
  });
  for (const end of ['pointerup', 'pointercancel', 'blur']) addEventListener(end, release);
  addEventListener('keydown', event => {
    const button = event.target.closest && event.target.closest('[data-hold]');
    if (button && (event.key === ' ' || event.key === 'Enter')) {
      event.preventDefault();
      if (!event.repeat) { pressed = true; hold(button); }
    }
  });
  addEventListener('keyup', () => { if (holding) { release(); } pressed = false; flush(); });
  addEventListener('contextmenu', event => { if (event.target.closest('[data-hold]')) event.preventDefault(); });

  // ---- a number pad beside number fields, for a panel without a keyboard
  const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '.', '0', body.dataset.delete];
  const dress = root => {
    if (!matchMedia('(pointer: coarse)').matches) return;
    root.querySelectorAll('input[data-pad]').forEach(input => {
      if (input.dataset.dressed) return;
      input.dataset.dressed = '1';
      input.inputMode = 'none';
      input.addEventListener('focus', () => {
        document.querySelectorAll('.pad').forEach(p => p.remove());
        const pad = document.createElement('div');
        pad.className = 'pad';
        KEYS.forEach((key, i) => {
          const button = document.createElement('button');
          button.type = 'button';
          button.textContent = key;
          button.addEventListener('pointerdown', e => e.preventDefault());
          button.addEventListener('click', () => {
            input.value = i === KEYS.length - 1 ? input.value.slice(0, -1) : input.value + key;
          });
          pad.append(button);
        });
        input.after(pad);
      });
    });
  };
  dress(document);

  // ---- sound, for a page that somebody keeps open; the horn at the machine does not depend on it
  const toggle = document.querySelector('[data-sound]');
  const AGAIN_MS = 10000; // as long as one is not acknowledged
  const CALM_MS = 60000; // one that was here within this is not a new one: it chatters
  const heard = new Map(JSON.parse(sessionStorage.getItem('heard') || '[]'));
  let context = null;
  let soundedAt = Number(sessionStorage.getItem('sounded')) || 0;
  const wanted = () => localStorage.getItem('sound') === 'on';
  const show = () => {
    const blocked = wanted() && context && context.state === 'suspended';
    toggle.textContent = blocked ? toggle.dataset.blocked : wanted() ? toggle.dataset.on : toggle.dataset.off;
    toggle.setAttribute('aria-pressed', wanted());
  };
  const beep = () => {
    context = context || new AudioContext();
    if (context.state === 'suspended') { // a browser wants a touch first
      context.resume().then(show);
      setTimeout(show, 300);
    }
    const tone = context.createOscillator();
    const level = context.createGain();
    tone.frequency.value = 880;
    level.gain.setValueAtTime(0.2, context.currentTime);
    level.gain.exponentialRampToValueAtTime(0.001, context.currentTime + 0.6);
    tone.connect(level).connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + 0.6);
  };
  const sound = () => {
    const banner = document.querySelector('[data-sounding]');
    const ids = banner && banner.dataset.sounding ? banner.dataset.sounding.split(' ') : [];
    const at = Date.now();
    const fresh = ids.some(id => !(at - heard.get(id) < CALM_MS));
    ids.forEach(id => heard.set(id, at));
    heard.forEach((when, id) => { if (at - when > CALM_MS) heard.delete(id); });
    sessionStorage.setItem('heard', JSON.stringify([...heard]));
    if (wanted() && (fresh || (ids.length && at - soundedAt >= AGAIN_MS))) {
      soundedAt = at;
      sessionStorage.setItem('sounded', at);
      beep();
    }
  };
  setInterval(sound, 1000);
  toggle.addEventListener('click', () => {
    if (wanted() && context && context.state === 'suspended') {
      beep();
      return;
    }
    localStorage.setItem('sound', wanted() ? 'off' : 'on');
    show();
    if (wanted()) beep();
  });
  show();

  // ---- pushes to this phone
  const push = document.querySelector('[data-push]');
  const PUSH_MS = 10000;
  const readyToPush = async () => {
    const on = push.querySelector('[data-push-on]');
    const off = push.querySelector('[data-push-off]');
    const status = push.querySelector('[role=status]');
    const tell = sentence => { status.textContent = sentence || ''; };
    if (!('serviceWorker' in navigator && 'PushManager' in window)) {
      tell(push.dataset.cannot);
      return;
    }
    const send = async (where, fields) => {
      const reply = await fetch(where, {
        method: 'POST', body: new URLSearchParams({token: push.elements.token.value, back: '/phone', ...fields}),
        headers: {'X-Steamleaf-Page': '1'},
      });
      if (!reply.ok) throw new DOMException(await reply.text(), 'RefusedError');
    };
    const register = is => {
      const {endpoint, keys} = is.toJSON();
      return send('/push/register', {endpoint, p256dh: keys.p256dh, auth: keys.auth});
    };
    const why = e => {
      switch (e.name) {
        case 'RefusedError': return e.message;
        case 'NotAllowedError': return push.dataset.denied;
        case 'AbortError': return push.dataset.noService;
        default: return push.dataset.cannot;
      }
    };
    let worker;
    try {
      worker = await navigator.serviceWorker.register('/push.js');
    } catch (e) {
      tell(why(e));
      return;
    }
    const ours = is => {
      const key = is.options.applicationServerKey;
      const text = key && btoa(String.fromCharCode(...new Uint8Array(key)));
      return !!text && text.replace(/\+/g, '-').replace(/\//g, '_').replace(/=/g, '') === push.dataset.push;
    };
    const known = async () => {
      const is = await worker.pushManager.getSubscription();
      if (is && !ours(is)) { // the monitor's keys are new: nothing would arrive
        await is.unsubscribe();
        return null;
      }
      return is;
    };
    const show = async () => {
      const is = await known();
      on.hidden = !!is;
      off.hidden = !is;
      return is;
    };
    on.addEventListener('click', async () => {
      on.disabled = true;
      tell(push.dataset.asking);
      const late = setTimeout(() => tell(push.dataset.noService), PUSH_MS); // it may still answer
      try {
        await register(await worker.pushManager.subscribe({
          userVisibleOnly: true, applicationServerKey: push.dataset.push,
        }));
        tell('');
      } catch (e) {
        tell(why(e));
        if (e.name === 'RefusedError') { const is = await known(); if (is) await is.unsubscribe(); }
      } finally {
        clearTimeout(late);
        on.disabled = false;
        show();
      }
    });
    off.addEventListener('click', async () => {
      try {
        const is = await known();
        if (is) {
          await send('/push/forget', {endpoint: is.endpoint});
          await is.unsubscribe();
        }
        tell('');
      } catch (e) {
        tell(e.name === 'RefusedError' ? e.message : body.dataset.lost);
      }
      show();
    });
    const is = await show();
    if (is) register(is).catch(e => tell(e.name === 'RefusedError' ? e.message : '')); // a restored monitor may have forgotten it
  };
  if (push) readyToPush();

  addEventListener('click', event => {
    if (event.target.closest('[data-print]')) print();
    const menu = document.querySelector('.menu[open]');
    if (menu && !menu.contains(event.target)) menu.open = false;
  });
})();
