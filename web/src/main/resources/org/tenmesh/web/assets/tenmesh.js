"use strict";
(() => {
  const root = document.documentElement;

  // "/" leads to the field from the keyboard.
  const find = document.querySelector("form.find input");
  const scan = document.querySelector("[data-scan]") || find;
  const isField = (element) => element && /^(INPUT|SELECT|TEXTAREA)$/.test(element.tagName);
  document.addEventListener("keydown", (event) => {
    if (event.key === "/" && !isField(document.activeElement) && scan) {
      event.preventDefault();
      scan.focus();
      scan.select();
    }
  });
  // At the bench the field that takes the next scan is ready; elsewhere a scan needs no field.
  if (scan && scan !== find && !location.hash && !document.querySelector("[autofocus]")) {
    scan.focus({ preventScroll: true });
  }

  // A scanner types faster than hands and ends with Enter. Wherever the focus is, what it typed goes to the scan field and is taken out
  // of what somebody was writing; while something is being written, the page asks before it leads away.
  const HANDS_MS = 40;
  const SHORTEST = 4;
  let burst = null;
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.key === "Shift") {
      return;
    }
    if (event.key.length === 1) {
      const field = document.activeElement;
      const goesOn = burst && event.timeStamp - burst.last < HANDS_MS && burst.field === field;
      if (!goesOn) {
        burst = { text: "", field, before: isField(field) ? field.value : "", start: field && field.selectionStart };
      }
      burst.text += event.key;
      burst.last = event.timeStamp;
      return;
    }
    const scanned = event.key === "Enter" && burst && event.timeStamp - burst.last < HANDS_MS ? burst : null;
    burst = null;
    if (!scanned || scanned.text.length < SHORTEST || !scan || scanned.field === scan || scanned.field.type === "password") {
      return;
    }
    event.preventDefault();
    event.stopPropagation();
    if (isField(scanned.field) && scanned.field.value !== undefined) {
      scanned.field.value = scanned.before;
      if (scanned.field.setSelectionRange && scanned.start !== null && scanned.field.type !== "number") {
        scanned.field.setSelectionRange(scanned.start, scanned.start);
      }
    }
    const written = [...document.querySelectorAll("main textarea, main input")].some(
      (field) => field.type !== "hidden" && field !== scan && field.value !== field.defaultValue);
    const note = document.getElementById("scanned");
    if (written && note) {
      const link = note.querySelector("a");
      link.textContent = "Open " + scanned.text;
      link.href = "/find?q=" + encodeURIComponent(scanned.text);
      note.hidden = false;
      return;
    }
    scan.value = scanned.text;
    scan.form.requestSubmit();
  }, true);

  // A form is sent once, however often the button is pressed.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method === "post") {
      if (form.dataset.sent) {
        event.preventDefault();
      }
      form.dataset.sent = "yes";
    }
  });
  window.addEventListener("pageshow", () => {
    for (const form of document.forms) {
      delete form.dataset.sent;
    }
  });

  // When the day changes, a page that nobody is typing in draws itself again; any other says so and waits.
  const note = document.getElementById("changed");
  let version = root.dataset.version;
  let drawing = false;
  const busy = () => {
    const active = document.activeElement;
    const typing = active && /^(SELECT|TEXTAREA)$/.test(active.tagName);
    const typed = [...document.querySelectorAll("main input, main textarea")].some((field) => field.value !== field.defaultValue);
    return typing || typed || (find && find.value !== find.defaultValue);
  };
  const redraw = async () => {
    const answer = await fetch(location.href, { headers: { "X-Tenmesh-Redraw": "1" } });
    if (!answer.ok || answer.redirected) {
      location.reload();
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("main");
    const stale = document.querySelector("main");
    const open = new Set([...stale.querySelectorAll("details[open][id]")].map((d) => d.id));
    for (const details of fresh.querySelectorAll("details[id]")) {
      details.open = open.has(details.id);
    }
    const focused = document.activeElement && document.activeElement.id;
    stale.replaceChildren(...fresh.childNodes);
    root.dataset.version = page.documentElement.dataset.version;
    version = root.dataset.version;
    if (focused) {
      const again = document.getElementById(focused);
      if (again) {
        again.focus({ preventScroll: true });
      }
    }
  };
  const heard = async (now) => {
    if (now === version || drawing) {
      return;
    }
    if (root.dataset.redraw === "yes" && !busy()) {
      drawing = true;
      try {
        await redraw();
      } catch (away) {
        // The server is away; it will be heard again.
      }
      drawing = false;
    } else if (note) {
      note.hidden = false;
    }
  };
  if (version && version !== "0" && window.EventSource) {
    const live = new EventSource("/live");
    live.onmessage = (event) => heard(event.data);
    window.addEventListener("pagehide", () => live.close());
  }
})();
