"""What the settings say: the test of a reminder."""

TEMPLATES = {
    "push_script": "Reminders on this phone itself need its browser's script.",
    "push_insecure": (
        "This phone takes reminders at an https address only. At this one e-mail, a messenger and"
        " the alarms of the calendar reach you."
    ),
    "push_unable": (
        "This browser takes no reminders. On an iPhone put castclock on the home screen first and"
        " open it there."
    ),
    "push_refused": "This browser does not allow reminders: allow them in its settings of this page.",
    "push_failed": "The browser's push service did not answer. Try again with signal.",
    "push_here": "Reminders arrive on this phone.",
    "passkey_script": "A passkey needs this browser's script.",
    "passkey_insecure": "A passkey works at an https address only; the password works here too.",
    "passkey_number": (
        "A passkey works at an address with a name, as shop.local, not at one of numbers."
    ),
    "passkey_unable": "This browser knows no passkeys.",
    "passkey_password": "That is not your password, or it was tried too often: wait a little.",
    "passkey_known": "This phone has a passkey of yours here already.",
    "passkey_failed": "It did not come about: nothing was changed. Try again, or use the password.",
    "test_title": "castclock: a test",
    "test_body": "Reminders reach you here. Nothing is due.",
    "test_taken": "Sent. It should be on your phone within a minute.",
    "test_failed": "Not sent: {why}. Put the address right, then test again.",
}
