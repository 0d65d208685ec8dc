"""The maker's calendar: due dates and days at the hook, for a calendar program to subscribe to."""
