"""What the settings say: the test of a reminder."""

TEMPLATES = {
    "test_title": "castclock: a test",
    "test_body": "Reminders reach you here. Nothing is due.",
    "test_taken": "Sent. It should be on your phone within a minute.",
    "test_failed": "Not sent: {why}. Put the address right, then test again.",
}
