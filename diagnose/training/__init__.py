"""Quizzes on the same rules and beliefs as a consultation: cases put to a trainee, marked and explained. Pure."""
